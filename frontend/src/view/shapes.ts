// Meshes by their digest: alike parts share one, and only what is new goes to the graphics memory.
import { Box3, BufferAttribute, BufferGeometry, Vector3 } from "three";
import type { Blobs } from "../wire";
import { outerFaces, singleLines } from "./closed";
import { linesOf } from "./edges";

export interface Drawing {
  solid: BufferGeometry;
  lines: BufferGeometry;
}

/** Triangles and lines of one layer lie together; `lift` says how far it stands off when layers are apart. */
export interface Run {
  layer: number;
  lift: number;
  from: number; // triangles
  to: number;
  box: Box3;
}

export interface Shape extends Drawing {
  digest: string;
  at: Float32Array;
  faces: Uint32Array;
  ends: Float32Array; // of the lines, 6 numbers each
  layers: number[]; // of the lines
  mates: number[]; // of lines that are seams, the layer beyond; -1 for outlines
  runs: Run[];
  box: Box3;
  /** All that can be seen of it while its layers lie on each other. */
  closed: Drawing;
}

function runsOf(at: Float32Array, faces: Uint32Array, of: Uint32Array): Run[] {
  const runs: Run[] = [];
  const corner = new Vector3();
  for (let triangle = 0; triangle < of.length; triangle++) {
    const layer = of[triangle] ?? 0;
    const last = runs.at(-1);
    const run =
      last?.layer === layer ? last : { layer, lift: 0, from: triangle, to: triangle, box: new Box3() };
    if (run !== last) runs.push(run);
    run.to = triangle + 1;
    for (let side = 0; side < 3; side++)
      run.box.expandByPoint(corner.fromArray(at, 3 * (faces[3 * triangle + side] ?? 0)));
  }
  const layers = runs.map((run) => run.layer);
  const middle = (Math.min(...layers) + Math.max(...layers)) / 2;
  for (const run of runs) run.lift = run.layer - middle;
  return runs;
}

function shapeOf(digest: string, blobs: Blobs): Shape | null {
  const at = blobs.get(`${digest}/at`) as Float32Array | undefined;
  const faces = blobs.get(`${digest}/faces`) as Uint32Array | undefined;
  const way = blobs.get(`${digest}/way`) as Float32Array | undefined;
  if (!at || !faces || !way) return null;
  const of = (blobs.get(`${digest}/of`) as Uint32Array | undefined) ?? new Uint32Array(faces.length / 3);
  const edges = (blobs.get(`${digest}/edges`) as Float32Array | undefined) ?? new Float32Array();
  const edgeOf = blobs.get(`${digest}/lines`) as Uint32Array | undefined;
  const { ends, layers, mates } = linesOf(edges, (line) => edgeOf?.[line] ?? -1);
  const runs = runsOf(at, faces, of);

  const lift = new Float32Array(at.length / 3);
  for (const run of runs)
    for (let side = 3 * run.from; side < 3 * run.to; side++) lift[faces[side] ?? 0] = run.lift;
  const lineLift = new Float32Array(ends.length / 3);
  const lifts = new Map(runs.map((run) => [run.layer, run.lift]));
  for (let end = 0; end < lineLift.length; end++) lineLift[end] = lifts.get(layers[end >> 1] ?? -1) ?? 0;

  const solid = new BufferGeometry();
  solid.setAttribute("position", new BufferAttribute(at, 3));
  solid.setAttribute("normal", new BufferAttribute(way, 3));
  solid.setAttribute("lift", new BufferAttribute(lift, 1));
  solid.setIndex(new BufferAttribute(faces, 1));
  const lines = new BufferGeometry();
  lines.setAttribute("position", new BufferAttribute(ends, 3));
  lines.setAttribute("lift", new BufferAttribute(lineLift, 1));
  lines.setAttribute(
    "seam",
    seamsOf(mates, () => true),
  );
  const box = new Box3();
  for (const run of runs) box.union(run.box);
  const closed = {
    solid: indexed(solid, outerFaces(at, faces, of)),
    lines: indexed(lines, singleLines(layers, mates)),
  };
  return { digest, at, faces, ends, layers, mates, runs, box, solid, lines, closed };
}

export class Shapes {
  private kept = new Map<string, Shape>();

  /** Keep what is new, and forget what the server says it will send again if wanted. */
  take(blobs: Blobs, gone: string[]): void {
    for (const name of blobs.keys()) {
      const digest = name.slice(0, name.lastIndexOf("/"));
      if (this.kept.has(digest)) continue;
      const shape = shapeOf(digest, blobs);
      if (shape) this.kept.set(digest, shape);
    }
    for (const digest of gone) this.drop(digest);
  }

  of(digest: string): Shape | undefined {
    return this.kept.get(digest);
  }

  /** Free the graphics memory of all that is not used now; the numbers stay, in case it comes back. */
  rest(used: Set<string>): void {
    for (const [digest, shape] of this.kept) if (!used.has(digest)) free(shape);
  }

  dispose(): void {
    for (const digest of [...this.kept.keys()]) this.drop(digest);
  }

  private drop(digest: string): void {
    const shape = this.kept.get(digest);
    if (shape) free(shape);
    this.kept.delete(digest);
  }
}

function free(shape: Shape): void {
  for (const { solid, lines } of [shape, shape.closed]) {
    solid.dispose();
    lines.dispose();
  }
}

/** Of the same numbers in the graphics memory only some. */
function indexed(whole: BufferGeometry, index: Uint32Array): BufferGeometry {
  const made = new BufferGeometry();
  for (const [name, attribute] of Object.entries(whole.attributes)) made.setAttribute(name, attribute);
  made.setIndex(new BufferAttribute(index, 1));
  return made;
}

/** Of a shape one layer alone, or all others, on the same numbers in the graphics memory. */
export function part(shape: Shape, layers: (layer: number) => boolean): Drawing {
  const runs = shape.runs.filter((run) => layers(run.layer));
  const faces = runs.flatMap((run) => [...shape.faces.subarray(3 * run.from, 3 * run.to)]);
  const ends = shape.layers.flatMap((layer, line) => (layers(layer) ? [2 * line, 2 * line + 1] : []));
  const lines = indexed(shape.lines, new Uint32Array(ends));
  // A seam whose other layer is not there is an outline.
  lines.setAttribute("seam", seamsOf(shape.mates, layers));
  return { solid: indexed(shape.solid, new Uint32Array(faces)), lines };
}

function seamsOf(mates: number[], there: (layer: number) => boolean): BufferAttribute {
  const seams = mates.flatMap((mate) => (mate >= 0 && there(mate) ? [1, 1] : [0, 0]));
  return new BufferAttribute(new Float32Array(seams), 1);
}
