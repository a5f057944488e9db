// What the page needs of the view of the piece; the view itself is loaded when first wanted.
import type { Blobs, Scene } from "./wire";

export type Look = "card" | "hardened" | "stained";
export type Axis = "x" | "y" | "z";

export interface PieceView {
  look: Look;
  explode: number;
  layersApart: number;
  /** The piece at full size is so many times larger. */
  scale: number | null;
  onPick: ((part: string | null, layer?: number | null) => void) | null;
  onHover: ((part: string | null, layer?: number | null) => void) | null;
  onFrame: (() => void) | null;
  setScene(header: Scene, blobs: Blobs): void;
  /** How far each part stands off when taken apart as in the guide; null where that is not known. */
  takenApart(by: readonly [string, [number, number, number]][] | null): void;
  showSteps(steps: unknown, n: number, t: number): void;
  section(on: boolean, axis?: Axis, offset?: number): void;
  measure(on: boolean): void;
  fit(): void;
  select(part: string | null): void;
  goTo(place: { part?: string | null; point?: [number, number, number] | null }): void;
  trueSize(pxPerMm: number | null): void;
  /**
   * Where a point of the piece is seen (of a part, wherever that is shown now), and whether anything hides it;
   * `parts` meet there, the receiving one first.
   */
  project(
    point: [number, number, number],
    part?: string | null,
    parts?: string[],
  ): { x: number; y: number; visible: boolean; behind: boolean } | null;
  theme(light: "light" | "dark"): void;
  dispose(): void;
}

type Module = { View: new (host: HTMLElement) => PieceView };
const modules = import.meta.glob<Module>("./view/view.ts");

export async function loadView(host: HTMLElement): Promise<PieceView | null> {
  const load = modules["./view/view.ts"];
  if (!load) return null;
  const { View } = await load();
  try {
    return new View(host);
  } catch {
    return null; // no WebGL here
  }
}
