// The lines of a stack, told apart: outlines, and seams, where two layers meet and neither stands out.
// This is done for each new mesh while a slider moves, so nothing is made here that could be spared.

export interface Lines {
  /** Six numbers for each line. Seams come first, so that outlines are drawn over them. */
  ends: Float32Array;
  layers: number[];
  /** The layer that a seam is shared with; -1 for an outline. */
  mates: number[];
}

/** A level line from (x, y) to (u, v). */
interface Edge {
  x: number;
  y: number;
  u: number;
  v: number;
  z: number;
  layer: number;
  /** The layer that has the very same line; -1 where none has. */
  mate: number;
  /** Otherwise: what others have along it, as shares of its length. */
  shared: { from: number; to: number; mate: number }[] | null;
}

/** Lines nearer to each other than this are one, mm. */
const SAME = 1e-3;

/** Level lines are cut up where only a stretch of them is shared; all others are outlines. */
export function linesOf(ends: Float32Array, layerOf: (line: number) => number): Lines {
  const seams = new Gathered();
  const outlines = new Gathered();
  const levels = new Map<number, Edge[]>();
  for (let n = 0; n < ends.length; n += 6) {
    const [x, y, z] = [ends[n] ?? 0, ends[n + 1] ?? 0, ends[n + 2] ?? 0];
    const [u, v, w] = [ends[n + 3] ?? 0, ends[n + 4] ?? 0, ends[n + 5] ?? 0];
    const layer = layerOf(n / 6);
    if (Math.abs(w - z) > SAME || Math.abs(u - x) + Math.abs(v - y) < SAME) {
      outlines.add(x, y, z, u, v, w, layer, -1);
      continue;
    }
    put(levels, Math.round(z / SAME), { x, y, u, v, z, layer, mate: -1, shared: null });
  }
  for (const level of levels.values()) {
    share(level);
    for (const edge of level) cut(edge, seams, outlines);
  }
  return {
    ends: new Float32Array([...seams.ends, ...outlines.ends]),
    layers: [...seams.layers, ...outlines.layers],
    mates: [...seams.mates, ...outlines.mates],
  };
}

class Gathered {
  ends: number[] = [];
  layers: number[] = [];
  mates: number[] = [];

  add(x: number, y: number, z: number, u: number, v: number, w: number, layer: number, mate: number): void {
    this.ends.push(x, y, z, u, v, w);
    this.layers.push(layer);
    this.mates.push(mate);
  }
}

function put(where: Map<number, Edge[]>, key: number, edge: Edge): void {
  const there = where.get(key);
  if (there) there.push(edge);
  else where.set(key, [edge]);
}

function share(level: Edge[]): void {
  // Most lines are there twice just as they are: only the rest has to be compared.
  const near = new Map<number, Edge[]>();
  for (const edge of level)
    put(near, Math.round((edge.x + edge.u) / SAME) * 1e8 + Math.round((edge.y + edge.v) / SAME), edge);
  const rest: Edge[] = [];
  for (const some of near.values())
    for (const edge of some) {
      for (const other of some)
        if (other.layer !== edge.layer && alike(edge, other)) {
          edge.mate = other.layer;
          break;
        }
      if (edge.mate < 0) rest.push(edge);
    }
  rest.sort((a, b) => left(a) - left(b));
  for (let one = 0; one < rest.length; one++)
    for (let next = one + 1; next < rest.length; next++) {
      const [edge, other] = [rest[one], rest[next]];
      if (!edge || !other || left(other) > Math.max(edge.x, edge.u) + SAME) break;
      if (other.layer === edge.layer) continue;
      along(edge, other);
      along(other, edge);
    }
}

function alike(a: Edge, b: Edge): boolean {
  return (
    (a.x === b.x && a.y === b.y && a.u === b.u && a.v === b.v) ||
    (a.x === b.u && a.y === b.v && a.u === b.x && a.v === b.y)
  );
}

const left = (edge: Edge): number => Math.min(edge.x, edge.u);

/** Note which stretch of `edge` the other lies on. */
function along(edge: Edge, { x, y, u, v, layer }: Edge): void {
  const [dx, dy] = [edge.u - edge.x, edge.v - edge.y];
  const size = Math.hypot(dx, dy);
  if (Math.abs((x - edge.x) * dy - (y - edge.y) * dx) > SAME * size) return;
  if (Math.abs((u - edge.x) * dy - (v - edge.y) * dx) > SAME * size) return;
  const a = ((x - edge.x) * dx + (y - edge.y) * dy) / (size * size);
  const b = ((u - edge.x) * dx + (v - edge.y) * dy) / (size * size);
  const [from, to] = [Math.max(0, Math.min(a, b)), Math.min(1, Math.max(a, b))];
  if ((to - from) * size > SAME) (edge.shared ??= []).push({ from, to, mate: layer });
}

function cut({ x, y, u, v, z, layer, mate, shared }: Edge, seams: Gathered, outlines: Gathered): void {
  if (!shared) {
    (mate < 0 ? outlines : seams).add(x, y, z, u, v, z, layer, mate);
    return;
  }
  const [dx, dy] = [u - x, v - y];
  const least = SAME / Math.hypot(dx, dy);
  const add = (where: Gathered, from: number, to: number, other: number): void => {
    if (to - from < least) return;
    where.add(x + from * dx, y + from * dy, z, x + to * dx, y + to * dy, z, layer, other);
  };
  let done = 0;
  for (const stretch of shared.sort((a, b) => a.from - b.from)) {
    add(outlines, done, stretch.from, -1);
    add(seams, Math.max(done, stretch.from), stretch.to, stretch.mate);
    done = Math.max(done, stretch.to);
  }
  add(outlines, done, 1, -1);
}
