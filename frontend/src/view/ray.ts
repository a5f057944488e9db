// What lies under the pointer: the line of sight against triangles, layer by layer as they are shown.
import { Box3, Matrix4, Ray, Vector3 } from "three";
import type { Shape } from "./shapes";

export interface Target {
  name: string;
  shape: Shape;
  matrix: Matrix4; // as it is shown now
  layers: ((layer: number) => boolean) | null; // those that are shown, null for all
}

export interface Hit {
  name: string;
  layer: number;
  away: number;
  point: Vector3;
  target: Target;
}

/** The first thing that the ray meets and `visible` does not take away. */
export function meet(
  from: Vector3,
  along: Vector3,
  targets: Iterable<Target>,
  apart: number,
  visible: (point: Vector3) => boolean,
): Hit | null {
  let best: Hit | null = null;
  const ray = new Ray();
  const shifted = new Ray();
  const inverse = new Matrix4();
  const [a, b, c, point] = [new Vector3(), new Vector3(), new Vector3(), new Vector3()];
  const box = new Box3();
  for (const target of targets) {
    const { shape, matrix } = target;
    ray.set(from, along).applyMatrix4(inverse.copy(matrix).invert());
    for (const run of shape.runs) {
      if (target.layers && !target.layers(run.layer)) continue;
      shifted.copy(ray);
      shifted.origin.z -= run.lift * apart;
      if (!shifted.intersectsBox(box.copy(run.box).expandByScalar(1e-4))) continue;
      for (let n = 3 * run.from; n < 3 * run.to; n += 3) {
        a.fromArray(shape.at, 3 * (shape.faces[n] ?? 0));
        b.fromArray(shape.at, 3 * (shape.faces[n + 1] ?? 0));
        c.fromArray(shape.at, 3 * (shape.faces[n + 2] ?? 0));
        if (!shifted.intersectTriangle(a, b, c, false, point)) continue;
        point.z += run.lift * apart;
        point.applyMatrix4(matrix);
        const away = point.distanceTo(from);
        if ((!best || away < best.away) && visible(point))
          best = { name: target.name, layer: run.layer, away, point: point.clone(), target };
      }
    }
  }
  return best;
}

const TILTS = [0.5, -0.4, 1.1, -1.1];
const TURNS = [0, 0.6, -0.6, 1.2, -1.2, 2.1, -2.1, Math.PI];
const SAMPLES = 16; // points on each part that is to be seen
const ENOUGH = 0.2; // of them

function sight(turn: number, tilt: number): Vector3 {
  return new Vector3(-Math.cos(tilt) * Math.sin(turn), Math.cos(tilt) * Math.cos(turn), -Math.sin(tilt));
}

/** The turn and tilt, near those of a seat, from which enough of some targets is seen, or most. */
export function clearest(
  seat: { turn: number; tilt: number },
  wanted: Target[],
  targets: Target[],
  reach: number,
): { turn: number; tilt: number } {
  const points = wanted.flatMap((each) => sampled(each));
  if (!points.length || wanted.length === targets.length) return seat;
  let best = seat;
  let most = -1;
  for (const tilt of [seat.tilt, ...TILTS])
    for (const by of TURNS) {
      const turn = seat.turn + by;
      const along = sight(turn, tilt);
      const clear = points.filter((point) => {
        const hit = meet(point.clone().addScaledVector(along, -reach), along, targets, 0, () => true);
        return !hit || hit.away > reach - 0.02;
      }).length;
      if (clear <= most) continue;
      [best, most] = [{ turn, tilt }, clear];
      if (clear >= ENOUGH * points.length) return best;
    }
  return best;
}

/** Middles of some of a target's triangles, spread over all of them. */
function sampled({ shape, matrix, layers }: Target): Vector3[] {
  const corner = new Vector3();
  const triangles = shape.runs
    .filter((run) => !layers || layers(run.layer))
    .flatMap((run) => Array.from({ length: run.to - run.from }, (_, n) => run.from + n));
  const every = Math.max(1, Math.ceil(triangles.length / SAMPLES));
  return triangles
    .filter((_, n) => n % every === 0)
    .map((triangle) => {
      const middle = new Vector3();
      for (let side = 0; side < 3; side++)
        middle.add(corner.fromArray(shape.at, 3 * (shape.faces[3 * triangle + side] ?? 0)));
      return middle.divideScalar(3).applyMatrix4(matrix);
    });
}

/** The turn and tilt, near those of a seat, from which a point is not hidden. */
export function unhidden(
  seat: { turn: number; tilt: number },
  point: Vector3,
  reach: number,
  targets: Target[],
  apart: number,
): { turn: number; tilt: number } {
  for (const tilt of [seat.tilt, ...TILTS])
    for (const by of TURNS) {
      const turn = seat.turn + by;
      const along = sight(turn, tilt);
      const from = point.clone().addScaledVector(along, -reach);
      const hit = meet(from, along, targets, apart, () => true);
      if (!hit || hit.away > reach - 0.6) return { turn, tilt };
    }
  return { turn: seat.turn, tilt: seat.tilt };
}

/** The corner of the part that was hit which is nearest on the screen, within `reach` pixels; else the point. */
export function corner(
  hit: Hit,
  apart: number,
  on: (point: Vector3) => { x: number; y: number },
  reach: number,
): { point: Vector3; snapped: boolean } {
  const { shape, matrix } = hit.target;
  const lines = shape.lines.getAttribute("lift");
  const there = on(hit.point);
  const point = new Vector3();
  let best = reach;
  let found: Vector3 | null = null;
  for (let end = 0; end < shape.ends.length / 3; end++) {
    point.fromArray(shape.ends, 3 * end);
    point.z += lines.getX(end) * apart;
    point.applyMatrix4(matrix);
    const { x, y } = on(point);
    // Corners at the back of a part are as near on the screen, but not in space.
    const off = Math.hypot(x - there.x, y - there.y) + 0.05 * point.distanceTo(hit.point);
    if (off < best) {
      best = off;
      found = point.clone();
    }
  }
  return { point: found ?? hit.point, snapped: found !== null };
}
