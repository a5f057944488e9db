// How things look: card, hardened and stained, by day and by lamp; and the materials that draw them.
import {
  Color,
  DoubleSide,
  FrontSide,
  LineBasicMaterial,
  MeshLambertMaterial,
  MeshPhongMaterial,
  type Material,
  type Plane,
} from "three";
import type { Look } from "../piece";

export type Tone = "plain" | "new" | "held" | "pointed" | "cloth" | "beads" | "piping";
export type Light = "light" | "dark";

const FACE: Record<Look, Record<Light, string>> = {
  card: { light: "#faf6ee", dark: "#e9e1d3" },
  hardened: { light: "#ecd9b4", dark: "#d6bf95" },
  stained: { light: "#7d4b2c", dark: "#7a4a2d" },
};
/** How much of an outline's tone a seam between layers has; the rest is the face's. */
const SEAM: Record<Look, number> = { card: 0.6, hardened: 0.6, stained: 0.65 };
const EDGE: Record<Look, string> = { card: "#26231f", hardened: "#3d2c14", stained: "#24120a" };
const NEW: Record<Look, string> = { card: "#8fc9cb", hardened: "#8cc0b4", stained: "#3f8a8c" };
const HELD: Record<Look, string> = { card: "#dba6cb", hardened: "#d39ebc", stained: "#b0628f" };
const POINTED: Record<Look, string> = { card: "#f0dff0", hardened: "#e6cbc4", stained: "#93583f" };
const SOFT = { cloth: "#7a1f5c", beads: "#9a6b00", piping: "#006d77" };

function toneColour(tone: Tone, look: Look, light: Light): string {
  if (tone === "plain") return FACE[look][light];
  if (tone === "new") return NEW[look];
  if (tone === "held") return HELD[look];
  if (tone === "pointed") return POINTED[look];
  return SOFT[tone];
}

/** Shared by all materials, so that one number moves all layers. */
export const lifting = (): { value: number } => ({ value: 0 });

export function lifted<M extends Material>(material: M, apart: { value: number }): M {
  material.onBeforeCompile = (shader) => {
    shader.uniforms.apart = apart;
    shader.vertexShader = shader.vertexShader
      .replace("#include <common>", "#include <common>\nattribute float lift;\nuniform float apart;")
      .replace("#include <begin_vertex>", "#include <begin_vertex>\ntransformed.z += lift * apart;");
  };
  material.customProgramCacheKey = () => "lifted";
  return material;
}

/** Lines with the attribute `seam` have a tone of their own, as long as the layers lie on each other. */
function seamed(material: LineBasicMaterial, apart: { value: number }, seam: Color): Material {
  lifted(material, apart);
  const lift = material.onBeforeCompile.bind(material);
  material.onBeforeCompile = (shader, renderer) => {
    lift(shader, renderer);
    shader.uniforms.seamed = { value: seam };
    shader.vertexShader = shader.vertexShader
      .replace("attribute float lift;", "attribute float lift;\nattribute float seam;\nvarying float isSeam;")
      .replace("#include <begin_vertex>", "isSeam = apart > 0.0 ? 0.0 : seam;\n#include <begin_vertex>");
    shader.fragmentShader = shader.fragmentShader
      .replace("#include <common>", "#include <common>\nuniform vec3 seamed;\nvarying float isSeam;")
      .replace("vec4( diffuse, opacity )", "vec4( mix( diffuse, seamed, isSeam ), opacity )");
  };
  material.customProgramCacheKey = () => "seamed";
  return material;
}

export class Looks {
  readonly apart = lifting();
  readonly cuts: Plane[] = [];
  private faces = new Map<string, Material>();
  private edges = new Map<string, Material>();

  face(tone: Tone, look: Look, light: Light): Material {
    const key = `${tone} ${look} ${light}`;
    let made = this.faces.get(key);
    if (!made) {
      const shared = {
        color: new Color(toneColour(tone, look, light)),
        polygonOffset: true,
        polygonOffsetFactor: 1,
        polygonOffsetUnits: 1,
        // Layers are closed, so their backs are never seen; cushions may be open below.
        side: tone in SOFT || tone === "held" ? DoubleSide : FrontSide,
        clippingPlanes: this.cuts,
      };
      const glossy = look !== "card" && (tone === "plain" || tone === "new");
      made = lifted(
        glossy || tone === "beads"
          ? new MeshPhongMaterial({
              ...shared,
              specular: look === "stained" ? "#57402f" : "#4d463a",
              shininess: 38,
            })
          : new MeshLambertMaterial(shared),
        this.apart,
      );
      this.faces.set(key, made);
    }
    return made;
  }

  edge(tone: Tone, look: Look, light: Light): Material {
    const key = `${tone} ${look} ${light}`;
    let made = this.edges.get(key);
    if (!made) {
      const seam = new Color(toneColour(tone, look, light)).lerp(new Color(EDGE[look]), SEAM[look]);
      const plain = new LineBasicMaterial({ color: EDGE[look], clippingPlanes: this.cuts });
      made = seamed(plain, this.apart, seam);
      this.edges.set(key, made);
    }
    return made;
  }

  /** Materials are told when the number of planes that cut them changes. */
  changed(): void {
    for (const made of [...this.faces.values(), ...this.edges.values()]) made.needsUpdate = true;
  }

  dispose(): void {
    for (const made of [...this.faces.values(), ...this.edges.values()]) made.dispose();
  }
}
