// Meshes by the digest of their content: made once, shared by alike parts, let go when nobody needs them.
import * as THREE from "three";
import type { Blobs, Part } from "../wire";

export interface Mesh {
  faces: THREE.BufferGeometry;
  edges: THREE.BufferGeometry;
}

const EMPTY = new Float32Array(0);

function floats(blobs: Blobs, name: string): Float32Array {
  const found = blobs.get(name);
  return found instanceof Float32Array ? found : EMPTY;
}

function integers(blobs: Blobs, name: string): Uint32Array | null {
  const found = blobs.get(name);
  return found instanceof Uint32Array ? found : null;
}

/** One value for each corner of a face, from one for each triangle: layers move apart by it. */
function perCorner(of: Uint32Array | null, faces: Uint32Array, corners: number): Float32Array {
  const layer = new Float32Array(corners).fill(1);
  if (of) {
    for (let i = 0; i < faces.length; i++) layer[faces[i] as number] = of[Math.floor(i / 3)] ?? 1;
  }
  return layer;
}

function made(digest: string, blobs: Blobs): Mesh {
  const at = floats(blobs, `${digest}/at`);
  const faces = integers(blobs, `${digest}/faces`) ?? new Uint32Array(0);
  const solid = new THREE.BufferGeometry();
  solid.setAttribute("position", new THREE.BufferAttribute(at, 3));
  solid.setAttribute("normal", new THREE.BufferAttribute(floats(blobs, `${digest}/way`), 3));
  solid.setAttribute(
    "layer",
    new THREE.BufferAttribute(perCorner(integers(blobs, `${digest}/of`), faces, at.length / 3), 1),
  );
  solid.setIndex(new THREE.BufferAttribute(faces, 1));
  const lines = floats(blobs, `${digest}/edges`);
  const ofLine = integers(blobs, `${digest}/lines`);
  const layers = new Float32Array(lines.length / 3).fill(1);
  if (ofLine) for (let i = 0; i < layers.length; i++) layers[i] = ofLine[Math.floor(i / 2)] ?? 1;
  const edges = new THREE.BufferGeometry();
  edges.setAttribute("position", new THREE.BufferAttribute(lines, 3));
  edges.setAttribute("layer", new THREE.BufferAttribute(layers, 1));
  return { faces: solid, edges };
}

export class Meshes {
  private readonly known = new Map<string, Mesh>();

  /** The mesh of this digest, made of the blobs where it is new; null where it has never come. */
  get(digest: string, blobs: Blobs): Mesh | null {
    const old = this.known.get(digest);
    if (old) return old;
    if (!blobs.has(`${digest}/at`)) return null;
    const mesh = made(digest, blobs);
    this.known.set(digest, mesh);
    return mesh;
  }

  /** Let go of what no part needs. The server knows what it sent, so only what it calls gone goes. */
  drop(gone: readonly string[], parts: readonly Part[]): void {
    const needed = new Set(parts.map((part) => part.mesh));
    for (const digest of gone) {
      const mesh = needed.has(digest) ? undefined : this.known.get(digest);
      mesh?.faces.dispose();
      mesh?.edges.dispose();
      if (mesh) this.known.delete(digest);
    }
  }

  dispose(): void {
    for (const mesh of this.known.values()) {
      mesh.faces.dispose();
      mesh.edges.dispose();
    }
    this.known.clear();
  }
}
