// What goes over the wire: docs/worktable.md tells each message; these are its shapes.

export type Path = (string | number)[];
export type Grade = "stop" | "care" | "note";
export type Value = string | number | boolean | null | Value[];

export interface Choice {
  value: Value;
  title: string;
}

export interface Field {
  path: Path;
  name: string;
  title: string;
  help: string;
  kind: "length" | "count" | "choice" | "angle" | "flag" | "layers" | "text" | "lines" | "list";
  unit: string;
  written: Value;
  full: string;
  mini: string;
  value: Value;
  low: number | null;
  high: number | null;
  step: number | null;
  default: Value;
  choices: (Choice | string | number | boolean)[] | null;
  problem: string | null;
}

export interface Group {
  name: string;
  title: string;
  fields: Field[];
}

export interface Problem {
  path: Path;
  message: string;
  remedy: string;
  line?: number | null;
}

export interface Change {
  path: Path;
  value: Value;
}

export interface Mend {
  label: string;
  changes: Change[];
}

export interface Finding {
  code: string;
  grade: Grade;
  message: string;
  remedy: string;
  part: string | null;
  layer: string | number | null;
  point: [number, number, number] | null;
  place: "piece" | "joint" | "sheet" | "cushion" | "evenings";
  /** The parts that meet there, the receiving one first, where it is about joints. */
  parts: string[];
  /** Its place in the plane of its part, mm, and in which layer. */
  spot: { layer: number; at: [number, number] } | null;
  mend: Mend | null;
}

export interface Layer {
  label: string;
  index: number;
  lower: number;
  upper: number;
  mirrored: boolean;
  board: string;
}

export interface Joint {
  name: string;
  /** What it is, in the trade words of the design. */
  told: string;
  with: string;
  point: [number, number, number] | null;
}

export interface Part {
  name: string;
  letter: string;
  title: string;
  mesh: string;
  group: string;
  pose: number[];
  thickness: number;
  layers: Layer[];
  joints: Joint[];
  role: string;
  /** The part that a cushion lies on. */
  on?: string;
}

export interface Scene {
  kind: "scene";
  seq: number;
  revision: number;
  milliseconds: number;
  parts: Part[];
  gone: string[];
  size: number[];
}

/** A scene as it is sent: of a part that is as it was, only the name. */
export type SentScene = Omit<Scene, "parts"> & { parts: (Part | string)[] };

export interface Card {
  name: string;
  title: string;
  summary?: string;
  about?: string;
  picture: string;
}

export interface WorkCard {
  work: string;
  title: string;
  when: string;
  picture: string;
}

export interface StartPage {
  forms: Card[];
  examples: Card[];
  works: WorkCard[];
}

export interface State {
  work: string;
  revision: number;
  title: string;
  scale: number | null;
  groups: Group[];
  undo: string | null;
  redo: string | null;
  saved: string | null;
  pending: Pending[];
  /** Why nothing can be drawn as it stands; none where something is. */
  problems: Problem[];
}

export interface Pending {
  path: Path;
  value: Value;
  message: string;
  remedy: string;
}

export interface Busy {
  what?: string | null;
  share: number | null;
  words: string;
}

export interface Offcut {
  name: string;
  board: string;
  known: boolean;
  /** mm */
  width: number;
  height: number;
  /** cm² */
  area: number;
  grain: number | null;
  d: string;
  origin: string;
  /** Whether the piece has layers of its board. */
  suits: boolean;
  chosen: boolean;
}

export interface Offcuts {
  offcuts: Offcut[];
  more: number;
  words: string;
}

export interface Copy {
  copy: string;
  when: string;
  title?: string;
}

export type Blob3 = Float32Array | Uint32Array | Uint8Array;
export type Blobs = Map<string, Blob3>;

/** A message from the server: its kind and whatever else its header has. */
export interface Message {
  kind: string;
  id?: number;
  [key: string]: unknown;
}
