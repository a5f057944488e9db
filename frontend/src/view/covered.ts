// Whether a place is hidden by board, as the piece is seen now.
import { Vector3 } from "three";
import { meet, type Target } from "./ray";

const ASIDE = 0.4; // mm beyond half a part's thickness
const WITHIN = [
  [0, 0, 0],
  [1, 0, 0],
  [-1, 0, 0],
  [0, 1, 0],
  [0, -1, 0],
] as const;
const ACROSS = [
  [0, 0, 0],
  [0, 0, 1],
  [0, 0, -1],
] as const;
const CLEAR = 0.015; // mm between a place and the face that it lies on

export interface Sight {
  seen: (Target & { placed: { part: { thickness: number } } })[];
  /** From where a ray begins before a place, mm. */
  reach: number;
  /** The way of sight. */
  along: Vector3;
  apart: number;
  /** What a cut has left. */
  left: (place: Vector3) => boolean;
}

/**
 * A place lies within board, so it is seen where a step aside is: a joint's, between two named parts, in the
 * plane of the part that receives it, since through that part it is not; anything else's out of its own part.
 */
export function covered(point: Vector3, named: (string | null)[], sight: Sight): boolean {
  const met = sight.seen.filter((each) => named.includes(each.name));
  const first = met.find((each) => each.name === named[0]);
  const aside = ASIDE + Math.max(0, ...met.map((each) => each.placed.part.thickness)) / 2;
  for (const [x, y, z] of named.length > 1 ? WITHIN : ACROSS) {
    const step = new Vector3(x, y, z).multiplyScalar(aside);
    if (first) step.transformDirection(first.matrix).multiplyScalar(Math.hypot(x, y, z) * aside);
    const from = point.clone().add(step).addScaledVector(sight.along, -sight.reach);
    const hit = meet(from, sight.along, sight.seen, sight.apart, sight.left);
    if (!hit || hit.away > sight.reach - CLEAR) return false;
  }
  return true;
}
