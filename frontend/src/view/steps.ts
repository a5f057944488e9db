// Assembly in steps: what is there by step n, what moves in with it, and how far off it still is.
import { Matrix4, Vector3 } from "three";

export interface Step {
  moving: string[];
  onto: string[];
  /** What lies on the bench, what moves included: a sub-assembly alone until it joins the rest. */
  there: string[];
  /** How that lies there: a rotation, its columns one after the other. */
  turn: number[];
  way: [number, number, number];
  travel: number;
  face?: boolean;
  spread?: [string, [number, number, number]][];
}

export type Share = "whole" | "core" | "face"; // all of a part, without its last layer, or that alone

export interface Showing {
  share: Share;
  fresh: boolean;
  shift: Vector3;
}

/** How far beyond the last touch parts begin, as a share of the piece's diagonal: else short ways go unseen. */
const BEYOND = 0.16;

const eased = (t: number): number => t * t * (3 - 2 * t);

export function isSteps(steps: unknown): steps is Step[] {
  return (
    Array.isArray(steps) &&
    steps.every((each: Partial<Step> | null) => Array.isArray(each?.moving) && Array.isArray(each.way))
  );
}

/** For every piece of a part that is seen at step n (from 0), at moment t from 0 to 1 of it. */
export function showing(
  steps: Step[],
  n: number,
  t: number,
  all: string[],
  diagonal: number,
): Map<string, Showing[]> {
  const now = steps[n];
  const shown = new Map<string, Showing[]>();
  if (!now) return shown;
  const left = (1 - eased(Math.max(0, Math.min(1, t)))) * (now.travel + BEYOND * diagonal);
  const back = new Vector3(...now.way).multiplyScalar(-left);
  const known = new Set(steps.flatMap((step) => [...step.onto, ...step.moving]));
  const there = new Set(now.there);
  const faces = new Map<string, number>(); // the step that brings its last layer
  steps.forEach((step, index) => {
    if (step.face) for (const name of step.moving) faces.set(name, index);
  });
  const spread = new Map(now.spread ?? []);
  for (const name of all) {
    // What no step tells of comes when all the rest stands.
    const brought = known.has(name) ? there.has(name) : n === steps.length - 1;
    const face = faces.get(name) ?? -1;
    const moves = now.moving.includes(name);
    const pieces: Showing[] = [];
    const shift = new Vector3();
    if (moves && !now.face) shift.copy(back);
    const off = spread.get(name);
    if (off) shift.addScaledVector(new Vector3(...off), Math.min(left, now.travel));
    if (brought) pieces.push({ share: face >= n ? "core" : "whole", fresh: moves && !now.face, shift });
    if (brought && face === n) pieces.push({ share: "face", fresh: true, shift: back.clone() });
    if (pieces.length) shown.set(name, pieces);
  }
  return shown;
}

/** How the work lies on the bench in a step, turned about a point of the piece. */
export function lying({ turn }: Step, about: Vector3): Matrix4 {
  const [a = 1, b = 0, c = 0, d = 0, e = 1, f = 0, g = 0, h = 0, i = 1] = turn;
  const rotation = new Matrix4().set(a, d, g, 0, b, e, h, 0, c, f, i, 0, 0, 0, 0, 1);
  const there = new Matrix4().makeTranslation(about);
  return there.multiply(rotation).multiply(new Matrix4().makeTranslation(about.clone().negate()));
}
