// A cut through the piece: what is before the plane is taken away, and what it cuts is filled, part by part.
//
// A ray that enters a cut body without having met its face meets one back more than fronts, so counting both
// in the stencil tells where the fill belongs. The plane's own crossings with the triangles give its lines.
import {
  AlwaysStencilFunc,
  BackSide,
  type Box3,
  BufferAttribute,
  BufferGeometry,
  DecrementWrapStencilOp,
  DoubleSide,
  FrontSide,
  Group,
  IncrementWrapStencilOp,
  LineBasicMaterial,
  LineSegments,
  type Matrix4,
  Mesh,
  MeshBasicMaterial,
  NotEqualStencilFunc,
  type Plane,
  PlaneGeometry,
  SRGBColorSpace,
  Vector3,
  ZeroStencilOp,
} from "three";
import type { Axis } from "../piece";
import { lifted, type Light } from "./looks";
import type { Shape } from "./shapes";

export interface CutBody {
  geometry: BufferGeometry;
  shape: Shape;
  matrix: Matrix4;
  layers: ((layer: number) => boolean) | null;
  hue: number; // from 0 to 1
}

interface Filling {
  backs: Mesh;
  fronts: Mesh;
  fill: Mesh<PlaneGeometry, MeshBasicMaterial>;
}

const NEAR = 0.02; // mm that the lines lie before the fill
const CLEAR = 0.015; // mm between a cut and a face along it

export class Section {
  readonly group = new Group();
  private pool: Filling[] = [];
  private square = new PlaneGeometry(1, 1);
  private lines = new LineSegments(new BufferGeometry(), new LineBasicMaterial());
  private counts: [MeshBasicMaterial, MeshBasicMaterial];

  constructor(
    private plane: Plane,
    private apart: { value: number },
  ) {
    const shared = {
      depthWrite: false,
      depthTest: false,
      colorWrite: false,
      stencilWrite: true,
      stencilFunc: AlwaysStencilFunc,
      clippingPlanes: [plane],
    };
    const count = (
      side: typeof BackSide | typeof FrontSide,
      op: typeof IncrementWrapStencilOp,
    ): MeshBasicMaterial =>
      lifted(
        new MeshBasicMaterial({ ...shared, side, stencilFail: op, stencilZFail: op, stencilZPass: op }),
        apart,
      );
    this.counts = [
      count(BackSide, IncrementWrapStencilOp),
      count(FrontSide, DecrementWrapStencilOp as typeof IncrementWrapStencilOp),
    ];
    this.lines.renderOrder = 1e6;
    this.lines.frustumCulled = false;
    this.group.add(this.lines);
    this.group.visible = false;
  }

  /** Lay the plane across an axis of a box; what stands before it, seen from `back`, is taken away. */
  lay(box: Box3, faces: number[], axis: Axis, offset: number, back: Vector3): void {
    const normal = new Vector3();
    normal[axis] = back[axis] > 0 ? -1 : 1;
    // Never along a face: what lies in the plane is neither cut nor left.
    let at = box.min[axis] + (box.max[axis] - box.min[axis]) * (0.001 + 0.998 * offset);
    while (faces.some((face) => Math.abs(face - at) < CLEAR)) at += 2.1 * CLEAR;
    this.plane.set(normal, -normal[axis] * at);
  }

  /** Fill what the plane cuts; `middle` and `size` are of all that is shown. */
  update(bodies: CutBody[], middle: Vector3, size: number, light: Light): void {
    const cut = bodies.filter((body) => this.crosses(body));
    while (this.pool.length < cut.length) this.pool.push(this.filling(this.pool.length));
    this.pool.forEach(({ backs, fronts, fill }, index) => {
      const body = cut[index];
      backs.visible = fronts.visible = fill.visible = body !== undefined;
      if (!body) return;
      for (const mesh of [backs, fronts]) {
        mesh.geometry = body.geometry;
        mesh.matrix.copy(body.matrix);
        mesh.matrixWorldNeedsUpdate = true;
      }
      fill.material.color.setHSL(body.hue, 0.3, light === "light" ? 0.74 : 0.62, SRGBColorSpace);
      this.plane.projectPoint(middle, fill.position);
      fill.scale.setScalar(2 * size);
      fill.lookAt(fill.position.clone().add(this.plane.normal));
    });
    this.draw(cut);
  }

  dispose(): void {
    this.square.dispose();
    this.lines.geometry.dispose();
    this.lines.material.dispose();
    for (const count of this.counts) count.dispose();
    for (const { fill } of this.pool) fill.material.dispose();
  }

  private filling(index: number): Filling {
    const backs = new Mesh(undefined, this.counts[0]);
    const fronts = new Mesh(undefined, this.counts[1]);
    const fill = new Mesh(
      this.square,
      new MeshBasicMaterial({
        side: DoubleSide,
        polygonOffset: true,
        polygonOffsetFactor: 1,
        polygonOffsetUnits: 1,
        stencilWrite: true,
        stencilRef: 0,
        stencilFunc: NotEqualStencilFunc,
        stencilFail: ZeroStencilOp,
        stencilZFail: ZeroStencilOp,
        stencilZPass: ZeroStencilOp,
      }),
    );
    [backs, fronts, fill].forEach((mesh, place) => {
      mesh.renderOrder = 10 + 3 * index + place;
      mesh.frustumCulled = false;
      if (mesh !== fill) mesh.matrixAutoUpdate = false;
      this.group.add(mesh);
    });
    return { backs, fronts, fill };
  }

  private crosses({ shape, matrix }: CutBody): boolean {
    const box = shape.box.clone();
    for (const run of shape.runs) {
      box.expandByPoint(run.box.min.clone().setZ(run.box.min.z + run.lift * this.apart.value));
      box.expandByPoint(run.box.max.clone().setZ(run.box.max.z + run.lift * this.apart.value));
    }
    return box.applyMatrix4(matrix).intersectsPlane(this.plane);
  }

  /** Where the plane meets the triangles: the outlines of the layers that it cuts. */
  private draw(bodies: CutBody[]): void {
    const ends: number[] = [];
    const corners = [new Vector3(), new Vector3(), new Vector3()] as const;
    const off = this.plane.normal.clone().multiplyScalar(-NEAR);
    for (const { shape, matrix, layers } of bodies)
      for (const run of shape.runs) {
        if (layers && !layers(run.layer)) continue;
        for (let n = 3 * run.from; n < 3 * run.to; n += 3) {
          corners.forEach((corner, side) => {
            corner.fromArray(shape.at, 3 * (shape.faces[n + side] ?? 0));
            corner.z += run.lift * this.apart.value;
            corner.applyMatrix4(matrix);
          });
          const found = crossing(this.plane, corners);
          for (const point of found) ends.push(point.x + off.x, point.y + off.y, point.z + off.z);
        }
      }
    this.lines.geometry.dispose();
    this.lines.geometry = new BufferGeometry();
    this.lines.geometry.setAttribute("position", new BufferAttribute(new Float32Array(ends), 3));
    this.lines.material.color.set("#26231f");
  }
}

function crossing(plane: Plane, corners: readonly [Vector3, Vector3, Vector3]): Vector3[] {
  const away = corners.map((corner) => plane.distanceToPoint(corner));
  const found: Vector3[] = [];
  for (let side = 0; side < 3; side++) {
    const [from, to] = [corners[side], corners[(side + 1) % 3]];
    const [d, e] = [away[side] ?? 0, away[(side + 1) % 3] ?? 0];
    if (from && to && d < 0 !== e < 0) found.push(from.clone().lerp(to, d / (d - e)));
  }
  return found.length === 2 ? found : [];
}
