// What the bench finds out, as the page draws it. Lengths are mm at miniature scale; y runs downwards.
import type { Change, Path } from "./wire";

type Point = [number, number];

export interface SheetStroke {
  op: "outline" | "opening" | "score" | "marking" | "notes";
  d: string;
  name: string;
  part: string;
  layer: number | null;
  /** Its place in the order of cutting, from 1; 0 for what is not cut. */
  order: number;
  at: Point;
}

export interface SheetLabel {
  text: string;
  letter: string;
  part: string;
  layer: number;
  at: Point;
  size: number;
}

export interface SheetLayer {
  part: string;
  layer: number;
  at: Point;
  /** From the plane of its part to the sheet: SVG's matrix(a b c d e f). */
  to: [number, number, number, number, number, number];
}

export interface SheetShown {
  name: string;
  title: string;
  board: string;
  width: number;
  height: number;
  outline: string | null;
  /** Degrees from the sheet's width; null where the board has no grain. */
  grain: number | null;
  strokes: SheetStroke[];
  labels: SheetLabel[];
  layers: SheetLayer[];
}

export interface BoardUse {
  title: string;
  sheets: number;
  used: number;
  left: number;
  words: string;
}

export interface Remainder {
  title: string;
  sheet: string;
  d: string;
  words: string;
}

export interface Sheets {
  sheets: SheetShown[];
  boards: BoardUse[];
  remainders: Remainder[];
}

export interface ShownStep {
  number: number;
  words: string;
  moving: string[];
  there: string[];
  turn: number[];
  way: [number, number, number];
  travel: number;
  spread: [string, [number, number, number]][];
}

export interface CushionShown {
  name: string;
  title: string;
  panel: string;
  width: number;
  height: number;
  batting: string[];
  cloth: { d: string; width: number; height: number; marks: Point[]; folds: [Point, Point][]; cut: string };
  buttons: Point[];
  links: [number, number][];
  radius: number;
  order: number[];
  stitches: string[];
  facts: Record<"plan" | "batting" | "cloth" | "sewing", string[]>;
  /** Where places by hand are written in the design, and whether they may be. */
  pattern: Path;
  points: Path;
  /** So many of the design's own unit are a millimetre here. */
  per_mm: number;
  unit: string;
}

/** What begins a usual cushion on a part. */
export interface UsualCushion {
  on: string;
  changes: Change[];
}

export interface EveningTask {
  title: string;
  minutes: number;
  wait: number;
  words: string;
}

export interface Evening {
  number: number;
  title: string;
  minutes: number;
  tasks: EveningTask[];
}

export interface Evenings {
  chart: string;
  evenings: Evening[];
  words: string[];
}

export interface SupplyShown {
  title: string;
  amount: string;
  packs: string;
  price: string;
  why: string;
}
