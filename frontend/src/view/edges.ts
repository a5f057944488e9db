// The lines of a stack, told apart: outlines, and seams, where two layers meet and neither stands out.

export interface Lines {
  /** Six numbers for each line. Seams come first, so that outlines are drawn over them. */
  ends: Float32Array;
  layers: number[];
  /** The layer that a seam is shared with; -1 for an outline. */
  mates: number[];
}

interface Edge {
  x: number;
  y: number;
  dx: number;
  dy: number;
  size: number;
  z: number;
  layer: number;
  /** What another layer has along it: from and to, as shares of its length, and which layer that is. */
  shared: { from: number; to: number; mate: number }[];
}

interface Line {
  ends: number[];
  layer: number;
  mate: number;
}

/** Lines nearer to each other than this are one, mm. */
const SAME = 1e-3;

/** Level lines are cut up where only a stretch of them is shared; all others are outlines. */
export function linesOf(ends: Float32Array, layerOf: (line: number) => number): Lines {
  const lines: Line[] = [];
  const levels = new Map<number, Edge[]>();
  for (let line = 0; line < ends.length / 6; line++) {
    const own = [...ends.subarray(6 * line, 6 * line + 6)];
    const [x = 0, y = 0, z = 0, u = 0, v = 0, w = 0] = own;
    const size = Math.hypot(u - x, v - y);
    if (Math.abs(w - z) > SAME || size < SAME) {
      lines.push({ ends: own, layer: layerOf(line), mate: -1 });
      continue;
    }
    const level = Math.round(z / SAME);
    const edge = { x, y, dx: u - x, dy: v - y, size, z, layer: layerOf(line), shared: [] };
    const there = levels.get(level);
    if (there) there.push(edge);
    else levels.set(level, [edge]);
  }
  for (const level of levels.values()) {
    share(level);
    for (const edge of level) lines.push(...stretches(edge));
  }
  lines.sort((a, b) => Number(a.mate < 0) - Number(b.mate < 0));
  return {
    ends: new Float32Array(lines.flatMap((line) => line.ends)),
    layers: lines.map((line) => line.layer),
    mates: lines.map((line) => line.mate),
  };
}

function share(level: Edge[]): void {
  // Most lines are there twice just as they are: only the rest has to be compared.
  const alike = new Map<string, Edge[]>();
  for (const edge of level) {
    const [a, b] = [`${edge.x},${edge.y}`, `${edge.x + edge.dx},${edge.y + edge.dy}`].sort();
    const key = `${a} ${b}`;
    const there = alike.get(key);
    if (there) there.push(edge);
    else alike.set(key, [edge]);
  }
  const rest: Edge[] = [];
  for (const same of alike.values())
    for (const edge of same) {
      const other = same.find((each) => each.layer !== edge.layer);
      if (other) edge.shared.push({ from: 0, to: 1, mate: other.layer });
      else rest.push(edge);
    }
  rest.sort((a, b) => left(a) - left(b));
  rest.forEach((edge, index) => {
    const right = Math.max(edge.x, edge.x + edge.dx) + SAME;
    for (let next = index + 1; next < rest.length; next++) {
      const other = rest[next];
      if (!other || left(other) > right) break;
      if (other.layer === edge.layer) continue;
      along(edge, other);
      along(other, edge);
    }
  });
}

const left = (edge: Edge): number => Math.min(edge.x, edge.x + edge.dx);

/** Note which stretch of `edge` the other lies on. */
function along(edge: Edge, other: Edge): void {
  const { x, y, dx, dy, size } = edge;
  const places: number[] = [];
  for (const [u, v] of [
    [other.x, other.y],
    [other.x + other.dx, other.y + other.dy],
  ] as const) {
    if (Math.abs((u - x) * dy - (v - y) * dx) > SAME * size) return;
    places.push(((u - x) * dx + (v - y) * dy) / (size * size));
  }
  const from = Math.max(0, Math.min(...places));
  const to = Math.min(1, Math.max(...places));
  if ((to - from) * size > SAME) edge.shared.push({ from, to, mate: other.layer });
}

function stretches(edge: Edge): Line[] {
  const { x, y, dx, dy, z, size, layer } = edge;
  const found: Line[] = [];
  const add = (from: number, to: number, mate: number): void => {
    if ((to - from) * size < SAME) return;
    found.push({
      ends: [x + from * dx, y + from * dy, z, x + to * dx, y + to * dy, z],
      layer,
      mate,
    });
  };
  let done = 0;
  for (const { from, to, mate } of edge.shared.sort((a, b) => a.from - b.from)) {
    add(done, from, -1);
    add(Math.max(done, from), to, mate);
    done = Math.max(done, to);
  }
  add(done, 1, -1);
  return found;
}
