// The piece in space. Nothing is drawn unless something has changed.
import { Box3, Matrix4, Plane, Scene as Space, Vector3, WebGLRenderer } from "three";
import type { Axis, Look, PieceView } from "../piece";
import type { Blobs, Scene } from "../wire";
import { Bodies } from "./bodies";
import { covered } from "./covered";
import { Eye, type Seat, USUAL } from "./eye";
import { Hand } from "./hand";
import { Glide } from "./glide";
import { Lights } from "./lights";
import { hasGraphics } from "./graphics";
import { Looks, type Light } from "./looks";
import { Measure } from "./measure";
import { type Place, Pointer } from "./pointer";
import { clearest, corner, type Hit, meet, unhidden } from "./ray";
import { Section } from "./section";
import { Shapes } from "./shapes";
import { view as words } from "../words";
import { isSteps, lying, showing, type Step } from "./steps";

const TURN = 0.008; // radians for a pixel
const SNAP = 16; // pixels
const LAYER_GAP = 0.06; // of the diagonal, between layers that are fully apart
const MARGIN = 56; // pixels about the whole piece
const SMALL = 1.25; // a piece that could be seen so many times as large is shown larger

export class View implements PieceView {
  onPick: PieceView["onPick"] = null;
  onHover: PieceView["onHover"] = null;
  onFrame: PieceView["onFrame"] = null;
  readonly canvas = document.createElement("canvas");

  private renderer: WebGLRenderer;
  private space = new Space();
  private shapes = new Shapes();
  private looks = new Looks();
  private bodies = new Bodies(this.looks);
  private eye = new Eye();
  private plane = new Plane(new Vector3(1, 0, 0), 0);
  private cut: Section;
  private ruler: Measure;
  private pointer: Pointer;
  private hand: Hand;
  private lights = new Lights();
  private sizes: ResizeObserver;

  private look_: Look = "card";
  private explode_ = 0;
  private layers_ = 0;
  private off: Map<string, Vector3> | null = null;
  private light: Light = "light";
  private steps: { all: Step[]; n: number; t: number } | null = null;
  private home: { turn: number; tilt: number } | null = null; // from where steps are seen, where that shows them
  private sectioned: { axis: Axis; offset: number } | null = null;
  private truly: number | null = null;
  private fitted = true; // seen whole, as long as nobody has moved it
  private stale = true; // something is to be put elsewhere before it is drawn
  private asked = 0;
  private glide = new Glide();
  private gone = false;

  constructor(private host: HTMLElement) {
    const { canvas } = this;
    // Smooth lines cost too much time where the processor has to draw them.
    this.renderer = new WebGLRenderer({ canvas, antialias: hasGraphics(), alpha: true, stencil: true });
    this.renderer.localClippingEnabled = true;
    canvas.style.cssText = "position:absolute;inset:0;width:100%;height:100%;touch-action:none;display:block";
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application");
    canvas.setAttribute("aria-label", words.label);
    if (getComputedStyle(host).position === "static") host.style.position = "relative";
    host.append(canvas);
    this.cut = new Section(this.plane, this.looks.apart);
    this.ruler = new Measure(host);
    this.pointer = new Pointer(this.ruler, {
      hit: (place) => this.hit(place),
      corner: (hit) => corner(hit, this.looks.apart.value, (point) => this.eye.project(point), SNAP),
      names: () => this.bodies.seen.map((each) => each.name),
      cursor: (shape) => (canvas.style.cursor = shape),
      ask: () => this.ask(),
      change: () => this.change(),
      hovered: (part, layer) => this.onHover?.(part, layer),
      picked: (part, layer) => this.onPick?.(part, layer),
    });
    this.space.add(this.bodies.group, this.cut.group, ...this.lights.all);
    this.hand = new Hand(canvas, {
      turn: (x, y) => this.moved(() => this.eye.turnBy(-x * TURN, y * TURN), false),
      pan: (x, y) => this.moved(() => this.eye.panBy(x, y)),
      zoom: (by, x, y) => {
        if (this.truly === null) this.moved(() => this.eye.zoomBy(by, x, y));
      },
      fit: () => this.fit(),
      point: (place) => this.pointer.point(place),
      click: (place) => this.pointer.click(place),
      next: (forward) => this.pointer.next(forward),
      leave: () => this.pointer.leave(),
    });
    canvas.addEventListener("webglcontextrestored", this.again);
    this.sizes = new ResizeObserver(() => this.sized());
    this.sizes.observe(host);
    this.theme("light");
    this.sized();
  }

  // What is shown

  setScene(header: Scene, blobs: Blobs): void {
    const before = new Set(this.bodies.placed.keys());
    this.shapes.take(blobs, header.gone);
    this.bodies.take(header.parts, (digest) => this.shapes.of(digest));
    this.shapes.rest(new Set(header.parts.map((part) => part.mesh)));
    const now = this.bodies.placed;
    this.stale = true;
    this.pointer.only(now);
    if (![...before].some((name) => now.has(name))) {
      this.eye.seat = { ...this.eye.seat, ...USUAL };
      this.fitted = true;
      this.refit();
    } else if (this.fitted && !this.within()) this.refit();
    this.change();
  }

  get look(): Look {
    return this.look_;
  }
  set look(look: Look) {
    this.look_ = look;
    this.change();
  }

  get explode(): number {
    return this.explode_;
  }
  set explode(share: number) {
    if (share === this.explode_) return;
    this.explode_ = share;
    this.spread();
  }

  takenApart(by: readonly [string, [number, number, number]][] | null): void {
    this.off = by?.length ? new Map(by.map(([name, off]) => [name, new Vector3(...off)])) : null;
    if (this.explode_ > 0) this.spread();
  }

  get layersApart(): number {
    return this.layers_;
  }
  set layersApart(share: number) {
    if (share === this.layers_) return;
    this.layers_ = share;
    this.spread();
  }

  /** The piece at full size is so many times larger; measures are told on both scales. */
  get scale(): number | null {
    return this.ruler.scale;
  }
  set scale(scale: number | null) {
    this.ruler.scale = scale;
    this.ask();
  }

  showSteps(steps: unknown, n: number, t: number): void {
    const before = this.steps;
    this.steps = isSteps(steps) && steps.length ? { all: steps, n, t } : null;
    if (!before && !this.steps) return;
    this.change();
    if (before?.n === this.steps?.n && before?.all === this.steps?.all) return;
    if (!before) this.home = { turn: this.eye.seat.turn, tilt: this.eye.seat.tilt };
    if (this.fitted && this.home) this.face(this.home);
    if (!this.steps) this.home = null;
  }

  /** Look from the usual place, or from where what moves in with this step is seen. */
  private face(from: { turn: number; tilt: number }): void {
    const { eye, steps } = this;
    const moment = steps?.t ?? 1;
    if (steps) steps.t = 1; // once it is in its place
    this.arrange();
    eye.seat = { ...(this.glide.end() ?? eye.seat) };
    const fresh = this.bodies.seen.filter((each) => each.fresh);
    const reach = 3 * this.bodies.diagonal;
    const { turn, tilt } = clearest(from, fresh, this.bodies.seen, reach);
    eye.seat = { ...eye.seat, turn, tilt };
    if (steps) steps.t = moment;
    this.stale = true;
    this.refit();
  }

  section(on: boolean, axis: Axis = "x", offset = 0.5): void {
    if (!on && !this.sectioned) return;
    this.sectioned = on ? { axis, offset } : null;
    this.change();
  }

  measure(on: boolean): void {
    this.pointer.measure(on);
  }

  select(name: string | null): void {
    this.pointer.hold(name);
  }

  theme(light: Light): void {
    this.light = light;
    this.lights.set(light);
    this.change();
  }

  // Where it is seen from

  fit(): void {
    if (this.stale) this.arrange();
    this.fitted = true;
    const to = this.whole();
    this.go(this.truly === null ? to : { ...to, zoom: this.truly });
  }

  goTo({ part = null, point = null }: Parameters<PieceView["goTo"]>[0]): void {
    if (this.stale) this.arrange();
    const seen = this.bodies.seen.find((each) => each.name === part);
    if (part !== null && this.bodies.placed.has(part)) this.select(part);
    const target = point ? new Vector3(...point) : seen?.box.getCenter(new Vector3());
    if (!target) return;
    if (point && seen) carry(target, seen);
    const whole = this.whole().zoom;
    const near = seen
      ? this.eye.around([seen.box], 0.28 * Math.min(this.eye.width, this.eye.height)).zoom
      : Infinity;
    const zoom = this.truly ?? Math.max(whole, Math.min(near, 2.6 * whole));
    this.fitted = false;
    const reach = 3 * this.bodies.diagonal;
    const facing = unhidden(this.eye.seat, target, reach, this.bodies.seen, this.looks.apart.value);
    this.go({ ...facing, target, zoom });
  }

  trueSize(pxPerMm: number | null): void {
    if (pxPerMm === this.truly) return;
    this.truly = pxPerMm;
    this.glide.end();
    if (pxPerMm === null) this.fitted = true;
    this.refit();
    this.ask();
  }

  project(
    at: [number, number, number],
    part: string | null = null,
    parts: string[] = [],
  ): ReturnType<PieceView["project"]> {
    const { width, height } = this.eye;
    if (this.gone || !this.bodies.placed.size) return null;
    const point = new Vector3(...at);
    const seen = part === null ? undefined : this.bodies.seen.find((each) => each.name === part);
    if (seen) carry(point, seen);
    const { x, y } = this.eye.project(point);
    const inFrame = x >= 0 && y >= 0 && x <= width && y <= height;
    const left = (place: Vector3): boolean => !this.sectioned || this.plane.distanceToPoint(place) > -1e-6;
    const behind = covered(point, parts.length ? parts : [part], {
      seen: this.bodies.seen,
      reach: 3 * this.bodies.diagonal,
      along: this.eye.back.clone().negate(),
      apart: this.looks.apart.value,
      left,
    });
    return { x, y, visible: inFrame, behind };
  }

  // Frames

  dispose(): void {
    this.gone = true;
    cancelAnimationFrame(this.asked);
    this.pointer.dispose();
    this.sizes.disconnect();
    this.hand.dispose();
    this.ruler.dispose();
    this.cut.dispose();
    this.bodies.dispose();
    this.shapes.dispose();
    this.looks.dispose();
    this.canvas.removeEventListener("webglcontextrestored", this.again);
    this.renderer.dispose();
    this.renderer.forceContextLoss();
    this.canvas.remove();
  }

  private again = (): void => this.change();

  private change(): void {
    this.stale = true;
    this.ask();
  }

  private ask(): void {
    if (this.asked || this.gone) return;
    this.asked = requestAnimationFrame((now) => {
      this.asked = 0;
      this.eye.seat = this.glide.at(now) ?? this.eye.seat;
      this.draw();
      if (this.glide.on) this.ask();
    });
  }

  private draw(): void {
    const { eye, renderer } = this;
    if (this.gone || eye.width < 2 || eye.height < 2) return;
    const ratio = Math.min(2, window.devicePixelRatio || 1);
    if (renderer.getPixelRatio() !== ratio) this.sized();
    if (this.stale) this.arrange();
    eye.place(
      3 * this.bodies.diagonal + 4 * eye.seat.target.distanceTo(this.bodies.whole.getCenter(new Vector3())),
    );
    this.slice();
    this.lights.follow(eye);
    renderer.render(this.space, eye.camera);
    this.ruler.draw((point) => eye.project(point), eye.width);
    this.onFrame?.();
  }

  private arrange(): void {
    this.stale = false;
    const { steps } = this;
    this.bodies.arrange({
      look: this.look_,
      light: this.light,
      explode: steps ? 0 : this.explode_,
      off: this.off,
      apart: steps ? 0 : this.layers_ * LAYER_GAP * this.bodies.diagonal,
      cut: this.sectioned !== null,
      lies: steps ? this.lies() : null,
      steps: steps ? (all, diagonal) => showing(steps.all, steps.n, steps.t, all, diagonal) : null,
      held: this.pointer.held,
      pointed: this.pointer.pointed,
    });
  }

  private lies(): Matrix4 | null {
    const step = this.steps?.all[this.steps.n];
    return step ? lying(step, this.bodies.whole.getCenter(new Vector3())) : null;
  }

  /** Lay the cut where it is asked for; what stands before it, as seen from here, is taken away. */
  private slice(): void {
    const on = this.sectioned !== null;
    if (on !== this.looks.cuts.length > 0) {
      this.looks.cuts.length = 0;
      if (on) this.looks.cuts.push(this.plane);
      this.looks.changed();
    }
    this.cut.group.visible = on;
    if (!this.sectioned) return;
    const { axis, offset } = this.sectioned;
    const box = this.shown();
    this.cut.lay(box, this.bodies.ends(axis), axis, offset, this.eye.back);
    const size = box.getSize(new Vector3()).length();
    this.cut.update(this.bodies.cuts(), box.getCenter(new Vector3()), size, this.light);
  }

  private shown(): typeof this.bodies.whole {
    const box = this.bodies.whole.clone();
    for (const each of this.bodies.seen) box.union(each.box);
    return box;
  }

  // Moving the eye

  private moved(move: () => void, leaves = true): void {
    this.eye.seat = this.glide.end() ?? this.eye.seat;
    move();
    if (leaves) this.fitted = false;
    // Who turns it by hand looks on from there.
    if (this.home) this.home = { turn: this.eye.seat.turn, tilt: this.eye.seat.tilt };
    this.ask();
  }

  private whole(): Seat {
    const { steps } = this;
    const now = steps?.all[steps.n];
    if (!steps || !now)
      return this.eye.around(
        this.bodies.seen.map((each) => each.box),
        this.margin(),
      );
    // Steps in which the work lies alike are seen from one place, so it stays still while it grows.
    const lies = this.lies() ?? new Matrix4();
    const room = new Box3();
    for (const step of steps.all.filter((each) => each.turn.join() === now.turn.join()))
      for (const name of step.there) {
        const placed = this.bodies.placed.get(name);
        if (placed) room.union(placed.box.clone().applyMatrix4(lies));
      }
    return this.eye.around([room.expandByScalar(0.08 * this.bodies.diagonal)], this.margin());
  }

  private margin(): number {
    return Math.min(MARGIN, 0.1 * Math.min(this.eye.width, this.eye.height));
  }

  private refit(): void {
    if (this.stale) this.arrange();
    this.glide.end();
    const to = this.whole();
    this.eye.seat = this.truly === null ? to : { ...to, zoom: this.truly };
    this.ask();
  }

  private spread(): void {
    this.change();
    if (this.fitted) this.refit();
  }

  private within(): boolean {
    if (this.stale) this.arrange();
    const { zoom } = this.whole();
    return zoom * 1.12 >= this.eye.seat.zoom && zoom <= SMALL * this.eye.seat.zoom;
  }

  private go(to: Seat): void {
    this.eye.seat = this.glide.start(this.eye.seat, to);
    this.ask();
  }

  private sized(): void {
    const { clientWidth: width, clientHeight: height } = this.host;
    if (width < 2 || height < 2) return;
    const first = this.eye.width < 2;
    this.renderer.setPixelRatio(Math.min(2, window.devicePixelRatio || 1));
    this.renderer.setSize(width, height, false);
    Object.assign(this.eye, { width, height });
    if (first || this.fitted) this.refit();
    // Drawn at once: a canvas is empty after its size has changed.
    this.draw();
  }

  private hit({ x, y }: Place): Hit | null {
    const { from, along } = this.eye.sight(x, y);
    const visible = (at: Vector3): boolean => !this.sectioned || this.plane.distanceToPoint(at) > -1e-6;
    return meet(from, along, this.bodies.seen, this.looks.apart.value, visible);
  }
}

/** A point of the put-together piece, moved to where its part is shown. */
function carry(point: Vector3, { matrix, placed }: { matrix: Matrix4; placed: { pose: Matrix4 } }): void {
  point.applyMatrix4(placed.pose.clone().invert()).applyMatrix4(matrix);
}
