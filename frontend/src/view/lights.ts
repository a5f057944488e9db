// What lights the piece: the sky above it, and a sun that comes over the left shoulder from wherever one looks.
import { Color, DirectionalLight, HemisphereLight, type Object3D } from "three";
import type { Eye } from "./eye";
import type { Light } from "./looks";

/** Where the sun stands from what is looked at: towards the eye, up, and to the right. */
const OVER_THE_SHOULDER = [1.6, 0.55, -0.5] as const;

const OF: Record<Light, { sky: string; ground: string; sun: string; over: number; from: number }> = {
  light: { sky: "#ffffff", ground: "#e2d6bf", sun: "#fffaf0", over: 1.9, from: 1.9 },
  dark: { sky: "#fdf3e4", ground: "#8d7b66", sun: "#ffebd2", over: 1.5, from: 2.1 },
};

export class Lights {
  private sky = new HemisphereLight();
  private sun = new DirectionalLight();
  readonly all: Object3D[] = [this.sky, this.sun, this.sun.target];

  constructor() {
    this.sky.position.set(0, 0, 1);
  }

  set(light: Light): void {
    const { sky, ground, sun, over, from } = OF[light];
    this.sky.color = new Color(sky);
    this.sky.groundColor = new Color(ground);
    this.sky.intensity = over;
    this.sun.color = new Color(sun);
    this.sun.intensity = from;
  }

  follow(eye: Eye): void {
    const [back, up, right] = OVER_THE_SHOULDER;
    const { target } = eye.seat;
    this.sun.position
      .copy(target)
      .addScaledVector(eye.back, back)
      .addScaledVector(eye.up, up)
      .addScaledVector(eye.right, right);
    this.sun.target.position.copy(target);
    this.sun.target.updateMatrixWorld();
  }
}
