// The piece as it was sent: meshes that are kept, parts that are as they were, and who looks at them.
import type { Blobs, Scene, SentScene } from "./wire";

export type SceneListener = (scene: Scene, blobs: Blobs) => void;

export class Scenes {
  private meshes = new Map<string, Blobs>();
  private last: { scene: Scene; blobs: Blobs } | null = null;
  private listeners = new Set<SceneListener>();

  /** Meshes that the server need not send again. */
  get kept(): string[] {
    return [...this.meshes.keys()];
  }

  on(listener: SceneListener): () => void {
    this.listeners.add(listener);
    if (this.last) listener(this.last.scene, this.last.blobs);
    return () => this.listeners.delete(listener);
  }

  /** Take in what was sent; all of it is shown, with what was there before. */
  take(sent: SentScene, blobs: Blobs): Scene {
    const former = new Map(this.last?.scene.parts.map((part) => [part.name, part]));
    const parts = sent.parts.flatMap((part) => (typeof part === "string" ? (former.get(part) ?? []) : part));
    const scene: Scene = { ...sent, parts };
    for (const [name, blob] of blobs) {
      const [digest = "", what = ""] = name.split("/");
      const mesh = this.meshes.get(digest) ?? new Map();
      mesh.set(what, blob);
      this.meshes.set(digest, mesh);
    }
    const used: Blobs = new Map();
    for (const digest of new Set(parts.map((part) => part.mesh)))
      for (const [what, blob] of this.meshes.get(digest) ?? []) used.set(`${digest}/${what}`, blob);
    this.last = { scene, blobs: used };
    for (const listener of this.listeners) listener(scene, used);
    for (const digest of scene.gone) this.meshes.delete(digest);
    return scene;
  }

  clear(): void {
    this.meshes = new Map();
    this.last = null;
  }
}
