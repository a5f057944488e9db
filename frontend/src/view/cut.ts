// A cut through the piece: what lies before the plane is left out, and what is cut is filled.
import * as THREE from "three";
import type { Axis } from "../piece";
import { counting, PLUM } from "./looks";

const WAYS: Record<Axis, [number, number, number]> = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] };

/** Hatched at 45°, so that cut faces are known without colour too. */
function hatching(): THREE.ShaderMaterial {
  return new THREE.ShaderMaterial({
    uniforms: { colour: { value: new THREE.Color(PLUM) }, paper: { value: new THREE.Color(0xfaf6ee) } },
    vertexShader: "void main() { gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }",
    fragmentShader: `
      uniform vec3 colour; uniform vec3 paper;
      void main() {
        float line = step(fract((gl_FragCoord.x + gl_FragCoord.y) / 9.0), 0.3);
        gl_FragColor = vec4(mix(paper, colour, 0.22 + 0.55 * line), 1.0);
        #include <colorspace_fragment>
      }`,
    side: THREE.DoubleSide,
    stencilWrite: true,
    stencilRef: 0,
    stencilFunc: THREE.NotEqualStencilFunc,
    stencilFail: THREE.ReplaceStencilOp,
    stencilZFail: THREE.ReplaceStencilOp,
    stencilZPass: THREE.ReplaceStencilOp,
  });
}

export class Cut {
  readonly plane = new THREE.Plane();
  readonly group = new THREE.Group();
  on = false;
  private readonly behind = counting(THREE.BackSide, THREE.IncrementWrapStencilOp);
  private readonly before = counting(THREE.FrontSide, THREE.DecrementWrapStencilOp);
  private readonly cap = new THREE.Mesh(new THREE.PlaneGeometry(1, 1), hatching());

  /**
   * Where it cuts: ``offset`` from 0 to 1 through the box. What is left out is on the side of whoever looks
   * along ``look``, so that the cut is seen.
   */
  set(axis: Axis, offset: number, box: THREE.Box3, look: THREE.Vector3): void {
    const normal = new THREE.Vector3(...WAYS[axis]);
    if (normal.dot(look) < 0) normal.negate();
    const size = box.getSize(new THREE.Vector3());
    const point = box.min.clone().addScaledVector(size, offset);
    this.plane.setFromNormalAndCoplanarPoint(normal, point);
    const middle = box.getCenter(new THREE.Vector3());
    this.plane.projectPoint(middle, this.cap.position);
    this.cap.scale.setScalar(size.length() * 2 + 1);
    this.cap.lookAt(this.cap.position.clone().add(normal));
    for (const material of [this.behind, this.before]) material.clippingPlanes = [this.plane];
  }

  /** The meshes that count where something solid is cut, and then the filled plane. */
  fill(solids: readonly THREE.Mesh[]): void {
    this.group.clear();
    if (!this.on) return;
    for (const solid of solids) {
      for (const material of [this.behind, this.before]) {
        const counted = new THREE.Mesh(solid.geometry, material);
        counted.matrixAutoUpdate = false;
        counted.matrix.copy(solid.matrixWorld);
        counted.renderOrder = 1;
        counted.frustumCulled = false;
        this.group.add(counted);
      }
    }
    this.cap.renderOrder = 2;
    this.group.add(this.cap);
  }

  dispose(): void {
    this.cap.geometry.dispose();
    for (const material of [this.behind, this.before, this.cap.material]) material.dispose();
  }
}
