// The parts as they are shown: where each one is, in which tone, and what of it.
import { Box3, type BufferGeometry, Group, LineSegments, type Material, Matrix4, Mesh, Vector3 } from "three";
import type { Axis, Look } from "../piece";
import type { Part } from "../wire";
import type { Looks, Light, Tone } from "./looks";
import type { Target } from "./ray";
import type { CutBody } from "./section";
import { type Drawing, part as partOf, type Shape } from "./shapes";
import type { Share, Showing } from "./steps";

/** How far parts go from the middle when no order is known by which to take them apart, times their distance. */
const SPREAD = 1.1;

/** What is cut open: ochre, sea green, clay, slate, moss and sand in turn; cushions are of their own colours. */
const CUT_HUES = [0.1, 0.45, 0.035, 0.57, 0.24, 0.14];
const SOFT_HUES: Record<string, number> = { cloth: 0.89, beads: 0.11, piping: 0.51 };

interface Placed {
  part: Part;
  shape: Shape;
  pose: Matrix4;
  box: Box3; // in the piece, put together
  hue: number;
}

interface Body {
  solid: Mesh<BufferGeometry, Material>;
  lines: LineSegments<BufferGeometry, Material>;
}

interface Seen extends Target {
  placed: Placed;
  /** Whether it moves in with the step that is shown. */
  fresh: boolean;
  geometry: BufferGeometry;
  box: Box3; // as shown
  boxes: Box3[]; // of its layers
}

export interface Manner {
  look: Look;
  light: Light;
  explode: number;
  /** How far parts stand off when taken apart by the order of assembly; null while there is none. */
  off: Map<string, Vector3> | null;
  apart: number;
  /** Whether a cut lays open what is within. */
  cut: boolean;
  steps: ((all: string[], diagonal: number) => Map<string, Showing[]>) | null;
  /** How the whole lies, turned about its middle. */
  lies: Matrix4 | null;
  held: string | null;
  pointed: string | null;
}

export class Bodies {
  readonly group = new Group();
  placed = new Map<string, Placed>();
  seen: Seen[] = [];
  whole = new Box3();
  private pool: Body[] = [];
  private split = new Map<string, Drawing>();

  constructor(private looks: Looks) {}

  get diagonal(): number {
    return this.whole.isEmpty() ? 100 : this.whole.getSize(new Vector3()).length();
  }

  take(parts: Part[], shapeOf: (digest: string) => Shape | undefined): void {
    this.placed.clear();
    this.forget();
    this.whole = new Box3();
    parts.forEach((part, index) => {
      const shape = shapeOf(part.mesh);
      if (!shape) return;
      const pose = new Matrix4().fromArray(part.pose);
      const box = shape.box.clone().applyMatrix4(pose);
      const hue = SOFT_HUES[part.role] ?? CUT_HUES[index % CUT_HUES.length] ?? 0;
      this.placed.set(part.name, { part, shape, pose, box, hue });
      this.whole.union(box);
    });
  }

  /** Put everything where and how it is to be seen. */
  arrange(manner: Manner): void {
    this.looks.apart.value = manner.apart;
    const steps = manner.steps?.([...this.placed.keys()], this.diagonal);
    const middle = this.whole.getCenter(new Vector3());
    const all: Showing = { share: "whole", fresh: false, shift: new Vector3() };
    this.seen = [];
    let used = 0;
    for (const [name, placed] of this.placed) {
      const away = manner.off
        ? (manner.off.get(name)?.clone() ?? new Vector3())
        : placed.box.getCenter(new Vector3()).sub(middle).multiplyScalar(SPREAD);
      away.multiplyScalar(manner.explode);
      for (const piece of steps ? (steps.get(name) ?? []) : [all]) {
        const shift = piece.shift.clone().add(away).add(this.raised(placed, manner.apart));
        const matrix = new Matrix4().makeTranslation(shift).multiply(placed.pose);
        if (manner.lies) matrix.premultiply(manner.lies);
        const { solid, lines, layers } = this.share(placed, piece.share);
        const body = (this.pool[used] ??= this.body());
        used += 1;
        const shut = piece.share === "whole" && manner.apart === 0 && !manner.cut;
        const drawn = shut ? placed.shape.closed : { solid, lines };
        body.solid.geometry = drawn.solid;
        body.lines.geometry = drawn.lines;
        const tone = toneOf(placed.part, piece.fresh, manner);
        body.solid.material = this.looks.face(tone, manner.look, manner.light);
        body.lines.material = this.looks.edge(tone, manner.look, manner.light);
        for (const object of [body.solid, body.lines]) {
          object.matrix.copy(matrix);
          object.matrixWorldNeedsUpdate = true;
          object.visible = true;
        }
        const boxes = placed.shape.runs.map((run) => {
          const lift = new Vector3(0, 0, run.lift * manner.apart);
          return run.box.clone().translate(lift).applyMatrix4(matrix);
        });
        const box = boxes.reduce((whole, each) => whole.union(each), new Box3());
        const { fresh } = piece;
        const { shape } = placed;
        this.seen.push({ name, shape, matrix, layers, placed, fresh, geometry: solid, box, boxes });
      }
    }
    for (const body of this.pool.slice(used)) body.solid.visible = body.lines.visible = false;
  }

  cuts(): CutBody[] {
    return this.seen.map(({ geometry, shape, matrix, layers, placed }) => ({
      geometry,
      shape,
      matrix,
      layers,
      hue: placed.hue,
    }));
  }

  /** Where layers begin and end along an axis, as shown. */
  ends(axis: Axis): number[] {
    return this.seen.flatMap((each) => each.boxes.flatMap(({ min, max }) => [min[axis], max[axis]]));
  }

  dispose(): void {
    this.forget();
    this.group.clear();
  }

  private forget(): void {
    for (const { solid, lines } of this.split.values()) {
      solid.dispose();
      lines.dispose();
    }
    this.split.clear();
  }

  /** A cushion stays on the face that it lies on, however far that is lifted off. */
  private raised({ part, pose }: Placed, apart: number): Vector3 {
    const under = this.placed.get(part.on ?? "");
    if (!under) return new Vector3();
    const axis = (of: Matrix4): Vector3 => new Vector3().setFromMatrixColumn(of, 2);
    const lifts = under.shape.runs.map((run) => run.lift);
    const up = axis(under.pose).dot(axis(pose)) > 0;
    return axis(under.pose).multiplyScalar(apart * (up ? Math.max(...lifts) : Math.min(...lifts)));
  }

  private share(
    { shape, part }: Placed,
    share: Share,
  ): Drawing & { layers: ((layer: number) => boolean) | null } {
    const last =
      share === "whole" ? undefined : part.layers.reduce((a, b) => (b.upper > a.upper ? b : a)).index;
    if (last === undefined) return { solid: shape.solid, lines: shape.lines, layers: null };
    const layers = (layer: number): boolean => (layer === last) === (share === "face");
    const key = `${shape.digest} ${share} ${last}`;
    let made = this.split.get(key);
    if (!made) this.split.set(key, (made = partOf(shape, layers)));
    return { ...made, layers };
  }

  private body(): Body {
    const body = {
      solid: new Mesh<BufferGeometry, Material>(),
      lines: new LineSegments<BufferGeometry, Material>(),
    };
    for (const object of [body.solid, body.lines]) {
      object.matrixAutoUpdate = false;
      object.frustumCulled = false;
      this.group.add(object);
    }
    body.lines.renderOrder = 1;
    return body;
  }
}

function toneOf(part: Part, fresh: boolean, { held, pointed }: Manner): Tone {
  if (part.name === held) return "held";
  if (fresh) return "new";
  if (part.role === "cloth" || part.role === "beads" || part.role === "piping") return part.role;
  return part.name === pointed ? "pointed" : "plain";
}
