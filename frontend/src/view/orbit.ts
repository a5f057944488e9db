// Turning, shifting and coming nearer: by mouse, pen, fingers and keys. Only the camera is known here.
import * as THREE from "three";

const KEYS_TURN = 7.5; // degrees for each press
const STEEPEST = 89;

export class Orbit {
  readonly camera = new THREE.OrthographicCamera(-1, 1, 1, -1, -1000, 1000);
  readonly middle = new THREE.Vector3();
  turn = -32; // degrees about the upright
  tilt = 24; // degrees above the floor
  /** Pixels of the page for each mm. */
  scale = 4;
  private readonly fingers = new Map<number, { x: number; y: number }>();
  private moved = 0;

  constructor(
    private readonly canvas: HTMLCanvasElement,
    private readonly changed: () => void,
  ) {
    canvas.addEventListener("pointerdown", this.down);
    canvas.addEventListener("pointermove", this.move);
    canvas.addEventListener("pointerup", this.up);
    canvas.addEventListener("pointercancel", this.up);
    canvas.addEventListener("wheel", this.wheel, { passive: false });
    canvas.addEventListener("keydown", this.key);
    canvas.addEventListener("contextmenu", (event) => event.preventDefault());
  }

  /** Whether the last press was a drag, so that it is no click. */
  get dragged(): boolean {
    return this.moved > 5;
  }

  place(width: number, height: number, radius: number): void {
    const camera = this.camera;
    camera.left = -width / 2 / this.scale;
    camera.right = -camera.left;
    camera.top = height / 2 / this.scale;
    camera.bottom = -camera.top;
    const turn = THREE.MathUtils.degToRad(this.turn);
    const tilt = THREE.MathUtils.degToRad(this.tilt);
    const away = Math.max(10, radius * 3);
    camera.position
      .set(Math.sin(turn) * Math.cos(tilt), -Math.cos(turn) * Math.cos(tilt), Math.sin(tilt))
      .multiplyScalar(away)
      .add(this.middle);
    camera.near = 0.1;
    camera.far = away * 2 + radius * 3;
    camera.up.set(0, 0, 1);
    camera.lookAt(this.middle);
    camera.updateProjectionMatrix();
    camera.updateMatrixWorld();
  }

  turnBy(dx: number, dy: number): void {
    this.turn -= dx;
    this.tilt = Math.max(-STEEPEST, Math.min(STEEPEST, this.tilt + dy));
    this.changed();
  }

  shiftBy(dx: number, dy: number): void {
    const right = new THREE.Vector3().setFromMatrixColumn(this.camera.matrixWorld, 0);
    const up = new THREE.Vector3().setFromMatrixColumn(this.camera.matrixWorld, 1);
    this.middle.addScaledVector(right, -dx / this.scale).addScaledVector(up, dy / this.scale);
    this.changed();
  }

  nearerBy(factor: number): void {
    this.scale = Math.max(0.2, Math.min(400, this.scale * factor));
    this.changed();
  }

  private readonly down = (event: PointerEvent): void => {
    this.canvas.setPointerCapture(event.pointerId);
    this.fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (this.fingers.size === 1) this.moved = 0;
  };

  private readonly move = (event: PointerEvent): void => {
    const finger = this.fingers.get(event.pointerId);
    if (!finger) return;
    const dx = event.clientX - finger.x;
    const dy = event.clientY - finger.y;
    this.moved += Math.abs(dx) + Math.abs(dy);
    if (this.fingers.size === 2) {
      const other = [...this.fingers.entries()].find(([id]) => id !== event.pointerId)?.[1];
      if (other) {
        const before = Math.hypot(finger.x - other.x, finger.y - other.y);
        const after = Math.hypot(event.clientX - other.x, event.clientY - other.y);
        if (before > 0) this.nearerBy(after / before);
      }
      this.shiftBy(dx / 2, dy / 2);
    } else if (event.shiftKey || event.buttons === 2 || event.buttons === 4) {
      this.shiftBy(dx, dy);
    } else {
      this.turnBy(dx * 0.45, dy * 0.45);
    }
    finger.x = event.clientX;
    finger.y = event.clientY;
  };

  private readonly up = (event: PointerEvent): void => {
    this.fingers.delete(event.pointerId);
  };

  private readonly wheel = (event: WheelEvent): void => {
    event.preventDefault();
    this.nearerBy(Math.exp(-event.deltaY * 0.0015));
  };

  private readonly key = (event: KeyboardEvent): void => {
    const ways: Record<string, [number, number]> = {
      ArrowLeft: [-1, 0],
      ArrowRight: [1, 0],
      ArrowUp: [0, -1],
      ArrowDown: [0, 1],
    };
    const way = ways[event.key];
    if (way && event.shiftKey) this.shiftBy(way[0] * 24, way[1] * 24);
    else if (way) this.turnBy(way[0] * KEYS_TURN, way[1] * KEYS_TURN);
    else if (event.key === "+" || event.key === "=") this.nearerBy(1.15);
    else if (event.key === "-") this.nearerBy(1 / 1.15);
    else return;
    event.preventDefault();
  };
}
