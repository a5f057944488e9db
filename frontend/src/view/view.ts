// The piece in space. It draws what it is given, when something has changed, and never otherwise.
import * as THREE from "three";
import type { Axis, Look, PieceView } from "../piece";
import type { Blobs, Part, Scene } from "../wire";
import { Cut } from "./cut";
import { apart, lines, paint, PLUM, surface } from "./looks";
import { Meshes } from "./meshes";
import { Orbit } from "./orbit";

interface Shown {
  part: Part;
  group: THREE.Group;
  solid: THREE.Mesh<THREE.BufferGeometry, THREE.MeshStandardMaterial>;
  edges: THREE.LineSegments<THREE.BufferGeometry, THREE.LineBasicMaterial>;
  home: THREE.Matrix4;
  middle: THREE.Vector3;
}

interface Step {
  number: number;
  moving: string[];
  onto: string[];
  way: [number, number, number];
  travel: number;
}

const SOFT = new Set(["cloth", "beads", "piping"]);
/** Parts move apart by so much of their distance from the middle; layers by so much of a layer. */
const EXPLODE = 1.1;
const LAYERS = 1.6;
const MARGIN = 0.72;

export class View implements PieceView {
  onPick: PieceView["onPick"] = null;
  onHover: PieceView["onHover"] = null;
  onFrame: PieceView["onFrame"] = null;
  onMeasure: ((mm: number | null) => void) | null = null;
  private readonly renderer: THREE.WebGLRenderer;
  private readonly scene = new THREE.Scene();
  private readonly meshes = new Meshes();
  private readonly shown = new Map<string, Shown>();
  private readonly orbit: Orbit;
  private readonly cut = new Cut();
  private readonly ruler: THREE.Line<THREE.BufferGeometry, THREE.LineBasicMaterial>;
  private readonly told: HTMLOutputElement;
  private readonly box = new THREE.Box3();
  private readonly watcher: ResizeObserver;
  private looks: Look = "card";
  private exploded = 0;
  private spread = 0;
  private chosen: string | null = null;
  private steps: { all: Step[]; n: number; t: number } | null = null;
  private axis: Axis = "x";
  private offset = 0.5;
  private measuring = false;
  private ends: THREE.Vector3[] = [];
  private kept: number | null = null;
  private asked = 0;
  private fitted = false;

  constructor(private readonly host: HTMLElement) {
    this.renderer = new THREE.WebGLRenderer({ antialias: true, alpha: true, stencil: true });
    this.renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
    const canvas = this.renderer.domElement;
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "img");
    canvas.setAttribute(
      "aria-label",
      "The piece. Arrow keys turn it, with shift they shift it, + and − come nearer.",
    );
    canvas.style.display = "block";
    canvas.style.touchAction = "none";
    host.appendChild(canvas);
    this.told = document.createElement("output");
    this.told.className = "measured";
    this.told.hidden = true;
    host.appendChild(this.told);
    this.orbit = new Orbit(canvas, this.draw);
    const lamp = new THREE.DirectionalLight(0xffffff, 1.7);
    lamp.position.set(-0.5, -1, 1.4);
    this.scene.add(new THREE.HemisphereLight(0xffffff, 0xb9a98c, 1.9), lamp);
    this.ruler = new THREE.Line(
      new THREE.BufferGeometry(),
      new THREE.LineBasicMaterial({ color: PLUM, depthTest: false }),
    );
    this.ruler.renderOrder = 5;
    this.ruler.visible = false;
    this.scene.add(this.ruler, this.cut.group);
    canvas.addEventListener("click", this.clicked);
    canvas.addEventListener("pointermove", this.hovered);
    canvas.addEventListener("webglcontextlost", this.lost);
    canvas.addEventListener("webglcontextrestored", this.draw);
    this.watcher = new ResizeObserver(() => this.sized());
    this.watcher.observe(host);
    this.sized();
  }

  get look(): Look {
    return this.looks;
  }
  set look(look: Look) {
    this.looks = look;
    this.arrange();
  }
  get explode(): number {
    return this.exploded;
  }
  set explode(share: number) {
    this.exploded = share;
    this.arrange();
  }
  get layersApart(): number {
    return this.spread;
  }
  set layersApart(share: number) {
    this.spread = share;
    this.arrange();
  }

  setScene(header: Scene, blobs: Blobs): void {
    const there = new Set(header.parts.map((part) => part.name));
    for (const [name, shown] of this.shown) if (!there.has(name)) this.remove(name, shown);
    for (const part of header.parts) {
      const mesh = this.meshes.get(part.mesh, blobs);
      if (mesh) this.put(part, mesh.faces, mesh.edges);
    }
    this.meshes.drop(header.gone, header.parts);
    this.measureBox();
    if (!this.fitted && !this.box.isEmpty()) this.fit();
    this.fitted = this.shown.size > 0;
    this.arrange();
  }

  showSteps(steps: unknown, n: number, t: number): void {
    this.steps = Array.isArray(steps) ? { all: steps as Step[], n, t } : null;
    this.arrange();
  }

  section(on: boolean, axis: Axis = "x", offset = 0.5): void {
    this.cut.on = on;
    this.axis = axis;
    this.offset = offset;
    this.arrange();
  }

  measure(on: boolean): void {
    this.measuring = on;
    this.ends = [];
    this.ruler.visible = false;
    this.told.hidden = true;
    this.onMeasure?.(null);
    this.draw();
  }

  fit(): void {
    const { width, height } = this.room();
    if (this.box.isEmpty()) return;
    this.box.getCenter(this.orbit.middle);
    const radius = this.box.getSize(new THREE.Vector3()).length() / 2;
    this.orbit.scale = this.kept ?? (MARGIN * Math.min(width, height)) / (2 * Math.max(radius, 1));
    this.draw();
  }

  goTo(place: { part?: string | null; point?: [number, number, number] | null }): void {
    const shown = place.part ? this.shown.get(place.part) : undefined;
    this.chosen = shown ? (place.part ?? null) : this.chosen;
    if (place.point) this.orbit.middle.set(...place.point);
    else if (shown) this.orbit.middle.copy(shown.middle);
    this.arrange();
  }

  trueSize(pxPerMm: number | null): void {
    const before = this.kept;
    this.kept = pxPerMm;
    if (pxPerMm !== null) this.orbit.scale = pxPerMm;
    else if (before !== null) this.fit();
    this.draw();
  }

  project(point: [number, number, number]): { x: number; y: number; visible: boolean } | null {
    const { width, height } = this.room();
    const at = new THREE.Vector3(...point).project(this.orbit.camera);
    if (![at.x, at.y].every(Number.isFinite)) return null;
    const visible = Math.abs(at.x) <= 1 && Math.abs(at.y) <= 1;
    return { x: ((at.x + 1) / 2) * width, y: ((1 - at.y) / 2) * height, visible };
  }

  theme(light: "light" | "dark"): void {
    this.renderer.domElement.dataset["light"] = light;
    this.draw();
  }

  dispose(): void {
    cancelAnimationFrame(this.asked);
    this.watcher.disconnect();
    for (const [name, shown] of [...this.shown]) this.remove(name, shown);
    this.meshes.dispose();
    this.cut.dispose();
    this.ruler.geometry.dispose();
    this.renderer.dispose();
    this.renderer.domElement.remove();
    this.told.remove();
  }

  private put(part: Part, faces: THREE.BufferGeometry, edges: THREE.BufferGeometry): void {
    let shown = this.shown.get(part.name);
    if (!shown) {
      const solid = new THREE.Mesh(faces, surface());
      const drawn = new THREE.LineSegments(edges, lines());
      const group = new THREE.Group();
      group.matrixAutoUpdate = false;
      group.add(solid, drawn);
      solid.userData["part"] = part.name;
      this.scene.add(group);
      shown = { part, group, solid, edges: drawn, home: new THREE.Matrix4(), middle: new THREE.Vector3() };
      this.shown.set(part.name, shown);
    }
    shown.part = part;
    shown.solid.geometry = faces;
    shown.edges.geometry = edges;
    shown.home.fromArray(part.pose);
    if (!faces.boundingBox) faces.computeBoundingBox();
    (faces.boundingBox ?? this.box).getCenter(shown.middle).applyMatrix4(shown.home);
  }

  private remove(name: string, shown: Shown): void {
    this.scene.remove(shown.group);
    shown.solid.material.dispose();
    shown.edges.material.dispose();
    this.shown.delete(name);
    if (this.chosen === name) this.chosen = null;
  }

  private measureBox(): void {
    this.box.makeEmpty();
    for (const shown of this.shown.values()) {
      const own = shown.solid.geometry.boundingBox;
      if (own && !own.isEmpty()) this.box.union(own.clone().applyMatrix4(shown.home));
    }
  }

  /** Put every part where it is to be seen, as it is to look. */
  private arrange(): void {
    const middle = this.box.getCenter(new THREE.Vector3());
    const thick = Math.max(
      0.3,
      ...[...this.shown.values()].map((s) => s.part.thickness / Math.max(1, s.part.layers.length)),
    );
    apart.value = this.spread * LAYERS * thick;
    const coming = this.steps?.all[this.steps.n];
    const later = new Set(this.steps?.all.slice(this.steps.n + 1).flatMap((step) => step.moving) ?? []);
    const before = new Set(
      this.steps?.all.slice(0, this.steps.n).flatMap((s) => [...s.moving, ...s.onto]) ?? [],
    );
    for (const shown of this.shown.values()) {
      const { part, group } = shown;
      const away = new THREE.Vector3();
      let state: "plain" | "chosen" | "new" = part.name === this.chosen ? "chosen" : "plain";
      group.visible = true;
      if (coming && this.steps) {
        const moves = coming.moving.includes(part.name);
        group.visible =
          moves || coming.onto.includes(part.name) || before.has(part.name) || !later.has(part.name);
        if (moves) {
          state = "new";
          away.set(...coming.way).multiplyScalar(-coming.travel * (1 - this.steps.t));
        } else if (later.has(part.name) && !before.has(part.name) && !coming.onto.includes(part.name)) {
          group.visible = false;
        }
      } else {
        away.subVectors(shown.middle, middle).multiplyScalar(EXPLODE * this.exploded);
      }
      group.matrix.makeTranslation(away).multiply(shown.home);
      group.updateMatrixWorld(true);
      const clips = this.cut.on ? [this.cut.plane] : null;
      shown.solid.material.clippingPlanes = clips;
      shown.edges.material.clippingPlanes = clips;
      paint(shown.solid.material, shown.edges.material, this.looks, part.role, state);
    }
    this.renderer.localClippingEnabled = this.cut.on;
    const solids = [...this.shown.values()].filter((s) => s.group.visible && !SOFT.has(s.part.role));
    this.cut.fill(solids.map((s) => s.solid));
    this.draw();
  }

  private room(): { width: number; height: number } {
    return { width: Math.max(1, this.host.clientWidth), height: Math.max(1, this.host.clientHeight) };
  }

  private looking(): THREE.Vector3 {
    return this.orbit.camera.getWorldDirection(new THREE.Vector3());
  }

  private sized(): void {
    const { width, height } = this.room();
    this.renderer.setSize(width, height);
    if (this.shown.size && !this.fitted) this.fit();
    this.draw();
  }

  private readonly draw = (): void => {
    if (this.asked) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = 0;
      const { width, height } = this.room();
      const radius = this.box.isEmpty() ? 50 : this.box.getSize(new THREE.Vector3()).length();
      this.orbit.place(width, height, radius * (1 + this.exploded));
      if (this.cut.on) this.cut.set(this.axis, this.offset, this.box, this.looking());
      this.renderer.render(this.scene, this.orbit.camera);
      this.tell();
      this.onFrame?.();
    });
  };

  private hit(event: MouseEvent): { shown: Shown; point: THREE.Vector3; face: number } | null {
    const frame = this.renderer.domElement.getBoundingClientRect();
    const at = new THREE.Vector2(
      ((event.clientX - frame.left) / frame.width) * 2 - 1,
      1 - ((event.clientY - frame.top) / frame.height) * 2,
    );
    const ray = new THREE.Raycaster();
    ray.setFromCamera(at, this.orbit.camera);
    const solids = [...this.shown.values()].filter((s) => s.group.visible).map((s) => s.solid);
    for (const found of ray.intersectObjects(solids, false)) {
      if (this.cut.on && this.cut.plane.distanceToPoint(found.point) < 0) continue;
      const shown = this.shown.get(String(found.object.userData["part"]));
      if (shown) return { shown, point: found.point, face: found.faceIndex ?? 0 };
    }
    return null;
  }

  private layerOf(found: { shown: Shown; face: number }): number | null {
    const faces = found.shown.solid.geometry.index;
    const layer = found.shown.solid.geometry.getAttribute("layer");
    return faces && layer ? layer.getX(faces.getX(found.face * 3)) : null;
  }

  private readonly clicked = (event: MouseEvent): void => {
    if (this.orbit.dragged) return;
    const found = this.hit(event);
    if (this.measuring) {
      if (found) this.end(this.snapped(found.shown, found.point));
      return;
    }
    this.chosen = found?.shown.part.name ?? null;
    this.onPick?.(this.chosen, found ? this.layerOf(found) : null);
    this.arrange();
  };

  private readonly hovered = (event: PointerEvent): void => {
    if (event.buttons) return;
    const found = this.hit(event);
    this.onHover?.(found?.shown.part.name ?? null, found ? this.layerOf(found) : null);
  };

  private readonly lost = (event: Event): void => event.preventDefault();

  /** The nearest corner within a few pixels, or the point itself. */
  private snapped(shown: Shown, point: THREE.Vector3): THREE.Vector3 {
    const corners = shown.edges.geometry.getAttribute("position");
    const within = 9 / this.orbit.scale;
    let best = point.clone();
    let nearest = within;
    const corner = new THREE.Vector3();
    for (let i = 0; i < (corners?.count ?? 0); i++) {
      corner.fromBufferAttribute(corners as THREE.BufferAttribute, i).applyMatrix4(shown.group.matrixWorld);
      const off = corner.distanceTo(point);
      if (off < nearest) {
        nearest = off;
        best = corner.clone();
      }
    }
    return best;
  }

  private end(point: THREE.Vector3): void {
    this.ends = this.ends.length === 1 ? [...this.ends, point] : [point];
    const [first, second] = this.ends;
    this.ruler.visible = second !== undefined;
    if (first && second) {
      this.ruler.geometry.dispose();
      this.ruler.geometry = new THREE.BufferGeometry().setFromPoints([first, second]);
      this.onMeasure?.(first.distanceTo(second));
    }
    this.draw();
  }

  /** The length measured, beside the middle of its line. */
  private tell(): void {
    const [first, second] = this.ends;
    this.told.hidden = !(first && second);
    if (!first || !second) return;
    const at = this.project(first.clone().lerp(second, 0.5).toArray());
    this.told.value = `${first.distanceTo(second).toFixed(2)} mm`;
    if (at) this.told.style.transform = `translate(${String(at.x + 8)}px, ${String(at.y - 24)}px)`;
  }

  /** For tests: how many pixels are drawn at all. */
  pixels(): number {
    this.renderer.render(this.scene, this.orbit.camera);
    const gl = this.renderer.getContext();
    const data = new Uint8Array(gl.drawingBufferWidth * gl.drawingBufferHeight * 4);
    gl.readPixels(0, 0, gl.drawingBufferWidth, gl.drawingBufferHeight, gl.RGBA, gl.UNSIGNED_BYTE, data);
    let count = 0;
    for (let i = 3; i < data.length; i += 4) if ((data[i] ?? 0) > 0) count++;
    return count;
  }
}
