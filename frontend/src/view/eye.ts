// Where the piece is seen from: turned and tilted about a point, without perspective, so that lengths
// across the screen are true and "true size" can be exact.
import { Box3, OrthographicCamera, Vector3 } from "three";

export interface Seat {
  turn: number; // about the piece's upright, radians
  tilt: number; // above the level, radians
  target: Vector3;
  zoom: number; // CSS pixels in a millimetre
}

const TILT_MOST = Math.PI / 2 - 0.001;
export const USUAL = { turn: -0.62, tilt: 0.5 };

export class Eye {
  readonly camera = new OrthographicCamera();
  seat: Seat = { ...USUAL, target: new Vector3(), zoom: 4 };
  width = 1;
  height = 1;
  private reach = 1000;
  readonly right = new Vector3();
  readonly up = new Vector3();
  readonly back = new Vector3(); // from the piece to the eye

  constructor() {
    this.camera.up.set(0, 0, 1);
  }

  /** Put the camera where the seat says; `reach` is beyond all that is shown, mm. */
  place(reach = this.reach): void {
    this.reach = reach;
    const { turn, tilt, target, zoom } = this.seat;
    this.back.set(Math.cos(tilt) * Math.sin(turn), -Math.cos(tilt) * Math.cos(turn), Math.sin(tilt));
    this.right.set(Math.cos(turn), Math.sin(turn), 0);
    this.up.crossVectors(this.back, this.right);
    const [w, h] = [this.width / zoom / 2, this.height / zoom / 2];
    Object.assign(this.camera, { left: -w, right: w, top: h, bottom: -h, near: 0, far: 2 * reach });
    this.camera.position.copy(target).addScaledVector(this.back, reach);
    this.camera.up.copy(this.up);
    this.camera.lookAt(target);
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld(true);
  }

  turnBy(turn: number, tilt: number): void {
    this.seat.turn += turn;
    this.seat.tilt = Math.max(-TILT_MOST, Math.min(TILT_MOST, this.seat.tilt + tilt));
  }

  /** Move what is seen by pixels. */
  panBy(x: number, y: number): void {
    this.place();
    this.seat.target
      .addScaledVector(this.right, -x / this.seat.zoom)
      .addScaledVector(this.up, y / this.seat.zoom);
  }

  /** Zoom so that what is at (x, y) pixels stays there. */
  zoomBy(factor: number, x = this.width / 2, y = this.height / 2): void {
    const zoom = Math.max(0.2, Math.min(400, this.seat.zoom * factor));
    const moved = 1 / this.seat.zoom - 1 / zoom;
    this.place();
    this.seat.target
      .addScaledVector(this.right, (x - this.width / 2) * moved)
      .addScaledVector(this.up, (this.height / 2 - y) * moved);
    this.seat.zoom = zoom;
  }

  /** The seat, turned as now, from which all boxes are seen whole, with a margin in pixels. */
  around(boxes: Box3[], margin: number): Seat {
    this.place();
    const low = new Vector3(Infinity, Infinity, Infinity);
    const high = low.clone().negate();
    const corner = new Vector3();
    for (const { min, max } of boxes)
      for (let n = 0; n < 8; n++) {
        corner.set(n & 1 ? max.x : min.x, n & 2 ? max.y : min.y, n & 4 ? max.z : min.z);
        corner.set(corner.dot(this.right), corner.dot(this.up), corner.dot(this.back));
        low.min(corner);
        high.max(corner);
      }
    if (low.x > high.x) return this.seat;
    const wide = Math.max(40, this.width - 2 * margin) / Math.max(1, high.x - low.x);
    const tall = Math.max(40, this.height - 2 * margin) / Math.max(1, high.y - low.y);
    const middle = low.add(high).multiplyScalar(0.5);
    const target = new Vector3()
      .addScaledVector(this.right, middle.x)
      .addScaledVector(this.up, middle.y)
      .addScaledVector(this.back, middle.z);
    return { ...this.seat, target, zoom: Math.min(wide, tall) };
  }

  /** Where a point of the piece is on the screen, CSS pixels from the upper left. */
  project(point: Vector3): { x: number; y: number } {
    const away = point.clone().sub(this.seat.target);
    return {
      x: this.width / 2 + away.dot(this.right) * this.seat.zoom,
      y: this.height / 2 - away.dot(this.up) * this.seat.zoom,
    };
  }

  /** The line of sight through a place on the screen. */
  sight(x: number, y: number): { from: Vector3; along: Vector3 } {
    const { target, zoom } = this.seat;
    const from = target
      .clone()
      .addScaledVector(this.right, (x - this.width / 2) / zoom)
      .addScaledVector(this.up, (this.height / 2 - y) / zoom)
      .addScaledVector(this.back, this.reach);
    return { from, along: this.back.clone().negate() };
  }
}
