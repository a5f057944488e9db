// What the browser keeps: this tab's work and half-typed values, and the size of this screen's pixels.
const tab = window.sessionStorage;
const browser = window.localStorage;

function read<T>(store: Storage, key: string, otherwise: T): T {
  try {
    const text = store.getItem(key);
    return text === null ? otherwise : (JSON.parse(text) as T);
  } catch {
    return otherwise; // a private window, or something that is not ours
  }
}

function write(store: Storage, key: string, value: unknown): void {
  try {
    store.setItem(key, JSON.stringify(value));
  } catch {
    // Full or forbidden: the page works without.
  }
}

/** The start's token: taken from the address once, then kept for reloads of this tab only. */
export function token(): string {
  const fragment = new URLSearchParams(window.location.hash.slice(1));
  const fresh = fragment.get("token");
  if (fresh !== null) {
    write(tab, "token", fresh);
    const work = fragment.get("work");
    if (work !== null) keepPlace({ work, line: "piece" });
    window.history.replaceState(null, "", window.location.pathname);
    return fresh;
  }
  return read(tab, "token", "");
}

export interface Place {
  work: string;
  line: string;
}

export const place = (): Place | null => read<Place | null>(tab, "place", null);
export const keepPlace = (value: Place | null): void => write(tab, "place", value);

export const drafts = (work: string): Record<string, string> => read(tab, `drafts/${work}`, {});
export const keepDrafts = (work: string, value: Record<string, string>): void =>
  write(tab, `drafts/${work}`, value);

export const textDraft = (work: string): string | null => read(tab, `text/${work}`, null);
export const keepTextDraft = (work: string, value: string | null): void => write(tab, `text/${work}`, value);

const screenKey = (): string =>
  `pixels/${window.screen.width}x${window.screen.height}@${window.devicePixelRatio}`;

/** CSS pixels per millimetre of this screen, or null where no card was held to it yet. */
export const pixelsPerMm = (): number | null => read<number | null>(browser, screenKey(), null);
export const keepPixelsPerMm = (value: number): void => write(browser, screenKey(), value);

export type Light = "day" | "lamp" | "computer";
export const light = (): Light => read<Light>(browser, "light", "computer");
export const keepLight = (value: Light): void => write(browser, "light", value);
