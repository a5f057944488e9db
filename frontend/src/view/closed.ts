// What is left to draw of a stack while its layers lie on each other: faces that two of them turn to each other
// are never seen, and a seam need be drawn once.

/** Corners nearer to each other than this are one, mm. */
const SAME = 1e-3;

/** The corners of all triangles but those that lie on one just like it of another layer. */
export function outerFaces(at: Float32Array, faces: Uint32Array, of: Uint32Array): Uint32Array {
  const inner = new Uint8Array(of.length);
  const first = new Map<number, Map<number, number>>();
  for (let triangle = 0; triangle < of.length; triangle++) {
    let [x, y] = [0, 0];
    const z = at[3 * (faces[3 * triangle] ?? 0) + 2] ?? 0;
    let level = true;
    for (let side = 0; side < 3; side++) {
      const corner = 3 * (faces[3 * triangle + side] ?? 0);
      x += at[corner] ?? 0;
      y += at[corner + 1] ?? 0;
      level &&= Math.abs((at[corner + 2] ?? 0) - z) < SAME;
    }
    if (!level) continue;
    const height = Math.round(z / SAME);
    let there = first.get(height);
    if (!there) first.set(height, (there = new Map()));
    const key = Math.round(x / SAME) * 1e8 + Math.round(y / SAME);
    const other = there.get(key);
    if (other === undefined) there.set(key, triangle);
    else if (of[other] !== of[triangle] && alike(at, faces, other, triangle))
      inner[other] = inner[triangle] = 1;
  }
  const left: number[] = [];
  for (let triangle = 0; triangle < of.length; triangle++)
    if (!inner[triangle]) for (let side = 0; side < 3; side++) left.push(faces[3 * triangle + side] ?? 0);
  return new Uint32Array(left);
}

/** Whether each corner of a triangle is one of the other's too. */
function alike(at: Float32Array, faces: Uint32Array, a: number, b: number): boolean {
  for (let side = 0; side < 3; side++) {
    const one = 3 * (faces[3 * a + side] ?? 0);
    let found = false;
    for (let turn = 0; turn < 3; turn++) {
      const two = 3 * (faces[3 * b + turn] ?? 0);
      found ||=
        Math.abs((at[one] ?? 0) - (at[two] ?? 0)) < SAME &&
        Math.abs((at[one + 1] ?? 0) - (at[two + 1] ?? 0)) < SAME;
    }
    if (!found) return false;
  }
  return true;
}

/** The ends of all lines, but of seams those of the lower layer alone. */
export function singleLines(layers: number[], mates: number[]): Uint32Array {
  const left: number[] = [];
  layers.forEach((layer, line) => {
    const mate = mates[line] ?? -1;
    if (mate < 0 || layer < mate) left.push(2 * line, 2 * line + 1);
  });
  return new Uint32Array(left);
}
