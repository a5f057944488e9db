// How board, cloth and lines look. Colours are those of the page; lines are there in every look.
import * as THREE from "three";
import type { Look } from "../piece";

const BOARD: Record<Look, number> = { card: 0xf3ead9, hardened: 0xd9bd8c, stained: 0x7b5334 };
const SOFT: Record<string, number> = { cloth: 0x8fc4c2, beads: 0xe0b352, piping: 0x5f9e9c };
const LINES: Record<Look, number> = { card: 0x26231f, hardened: 0x3a2a17, stained: 0x1d120a };
export const PLUM = 0x7a1f5c;
export const OCHRE = 0x9a6b00;

/** Shared by all materials: how far layers stand apart, mm for each layer. */
export const apart = { value: 0 };

/** Layers move along the part's own z, in the shader, so that nothing is sent or made again. */
function spread<M extends THREE.Material>(material: M): M {
  material.onBeforeCompile = (shader) => {
    shader.uniforms["apart"] = apart;
    shader.vertexShader = shader.vertexShader
      .replace("#include <common>", "#include <common>\nattribute float layer;\nuniform float apart;")
      .replace("#include <begin_vertex>", "#include <begin_vertex>\ntransformed.z += (layer - 1.0) * apart;");
  };
  return material;
}

export function surface(): THREE.MeshStandardMaterial {
  return spread(
    new THREE.MeshStandardMaterial({
      polygonOffset: true,
      polygonOffsetFactor: 1,
      polygonOffsetUnits: 1,
      metalness: 0,
    }),
  );
}

export function lines(): THREE.LineBasicMaterial {
  return spread(new THREE.LineBasicMaterial({ transparent: true }));
}

/** Writes the stencil that tells where a cut goes through something solid. */
export function counting(side: THREE.Side, operation: THREE.StencilOp): THREE.MeshBasicMaterial {
  return spread(
    new THREE.MeshBasicMaterial({
      depthWrite: false,
      depthTest: false,
      colorWrite: false,
      side,
      stencilWrite: true,
      stencilFunc: THREE.AlwaysStencilFunc,
      stencilFail: operation,
      stencilZFail: operation,
      stencilZPass: operation,
    }),
  );
}

export function paint(
  faces: THREE.MeshStandardMaterial,
  edges: THREE.LineBasicMaterial,
  look: Look,
  role: string,
  state: "plain" | "chosen" | "new",
): void {
  const soft = SOFT[role];
  faces.color.setHex(soft ?? BOARD[look]);
  faces.roughness = soft ? 1 : look === "card" ? 0.95 : look === "hardened" ? 0.5 : 0.62;
  faces.emissive.setHex(state === "plain" ? 0x000000 : state === "chosen" ? PLUM : OCHRE);
  faces.emissiveIntensity = state === "plain" ? 0 : 0.28;
  edges.color.setHex(state === "plain" ? LINES[look] : state === "chosen" ? PLUM : OCHRE);
  edges.opacity = state === "plain" ? (look === "card" ? 0.55 : 0.5) : 1;
}
