// Showing numbers and moments; all reckoning is the server's.

/** A number with as many digits as its step has, and no trailing zeros. */
export function shown(value: number, step: number | null = null): string {
  const digits = step
    ? Math.min(4, Math.max(0, Math.ceil(-Math.log10(step) - 1e-9) + (step % 1 ? 1 : 0)))
    : 3;
  return String(Number(value.toFixed(digits)));
}

/** Millimetres for reading: two digits, or one from 100 mm. */
export function mm(value: number): string {
  return `${value.toFixed(Math.abs(value) >= 100 ? 1 : 2)} mm`;
}

/** Feet and inches to the nearest sixteenth, as the server writes them: "1 ft 5 1/2 in", inches alone below 2 ft. */
export function inches(length: number): string {
  const steps = Math.round((length / 25.4) * 16);
  const feet = steps >= 24 * 16 ? Math.floor(steps / 192) : 0;
  const rest = steps - 192 * feet;
  const [whole, part] = [Math.floor(rest / 16), rest % 16];
  let [over, under] = [part, 16];
  while (over && over % 2 === 0) [over, under] = [over / 2, under / 2];
  const told = [whole ? String(whole) : "", part ? `${over}/${under}` : ""].filter(Boolean).join(" ");
  return [feet ? `${feet} ft` : "", told || !feet ? `${told || "0"} in` : ""].filter(Boolean).join(" ");
}

/** "today, 21:40", "yesterday, 9:05", or a date. */
export function moment(iso: string | null | undefined, now = new Date()): string {
  const when = iso ? new Date(iso) : null;
  if (!when || Number.isNaN(when.getTime())) return iso ?? "";
  const time = when.toLocaleTimeString([], { hour: "numeric", minute: "2-digit" });
  const day = (date: Date): number =>
    Math.floor((date.getTime() - date.getTimezoneOffset() * 60000) / 86400000);
  const ago = day(now) - day(when);
  if (ago === 0) return `today, ${time}`;
  if (ago === 1) return `yesterday, ${time}`;
  return `${when.toLocaleDateString([], { day: "numeric", month: "long", year: "numeric" })}, ${time}`;
}

export function bytes(count: number): string {
  return count < 1e6 ? `${Math.max(1, Math.round(count / 1e3))} kB` : `${(count / 1e6).toFixed(1)} MB`;
}

/** A scale as people say it: 1:12 from 12. */
export function scale(value: number): string {
  return `1:${Number(value.toFixed(3))}`;
}
