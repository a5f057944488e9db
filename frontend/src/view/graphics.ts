// Whether a graphics card draws here, or the processor in its stead.

/** What programs that draw by the processor call themselves. */
const IN_ITS_STEAD = /swiftshader|llvmpipe|softpipe|software|basic render/i;

/** Whether lines can be drawn smooth without making the hand wait. */
export function hasGraphics(): boolean {
  const probe = document.createElement("canvas").getContext("webgl2", { failIfMajorPerformanceCaveat: true });
  if (!probe) return false;
  const told = probe.getExtension("WEBGL_debug_renderer_info");
  const name = told ? String(probe.getParameter(told.UNMASKED_RENDERER_WEBGL)) : "";
  probe.getExtension("WEBGL_lose_context")?.loseContext();
  return !IN_ITS_STEAD.test(name);
}
