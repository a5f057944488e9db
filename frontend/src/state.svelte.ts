// All that the page knows, and what happens when the server says something.
import * as kept from "./remembered";
import { keyOf, Setter } from "./setter";
import { Socket } from "./socket";
import type {
  Blobs,
  Busy,
  Change,
  Copy,
  Field,
  Finding,
  Grade,
  Message,
  Path,
  Pending,
  Problem,
  Scene,
  SentScene,
  StartPage,
  State,
  Value,
} from "./wire";
import { LINES, type LineName } from "./words";

export type Phase = "connecting" | "start" | "work";
export type Connection = "first" | "here" | "lost" | "ended";
type SceneListener = (scene: Scene, blobs: Blobs) => void;
type Answer = (message: Message, blobs: Blobs) => void;

interface Trouble {
  message: string;
  remedy: string;
}

/** Which results each line of the ticket asks the bench for. */
const WANTS: Record<LineName, string[]> = {
  piece: ["steps"],
  sizes: [],
  joints: ["steps"],
  sheets: ["sheets"],
  cushion: ["cushion"],
  evenings: ["evenings", "supplies"],
  kit: ["sheets"],
};

const RESULTS = ["sheets", "steps", "cushion", "evenings", "supplies"] as const;
export type ResultKind = (typeof RESULTS)[number];

export class Table {
  phase = $state<Phase>("connecting");
  connection = $state<Connection>("first");
  start = $state.raw<StartPage | null>(null);
  work = $state.raw<State | null>(null);
  file = $state("");
  scene = $state.raw<Scene | null>(null);
  findings = $state.raw<Finding[] | null>(null);
  /** Why nothing could be looked through, where that is so. */
  unlooked = $state.raw<Trouble | null>(null);
  problems = $state.raw<Problem[]>([]);
  results = $state.raw<Partial<Record<ResultKind, Message>>>({});
  busy = $state.raw<Busy | null>(null);
  making = $state.raw<Busy | null>(null);
  improving = $state.raw<Message | null>(null);
  made = $state.raw<Message | null>(null);
  copies = $state.raw<Copy[] | null>(null);
  text = $state.raw<string | null>(null);
  troubles = $state<Trouble[]>([]);
  drafts = $state<Record<string, string>>({});
  open = $state<LineName>("piece");
  waiting = $state(false);
  /** Another program has changed the file: the maker says which of the two goes on. */
  outside = $state.raw<Trouble | null>(null);
  kinds = $state.raw<string[]>([]);
  /** A finding that was clicked: the view and the sheets go there. */
  sought = $state.raw<Finding | null>(null);

  private readonly socket: Socket;
  private readonly setter: Setter;
  private readonly sceneListeners = new Set<SceneListener>();
  private readonly answers = new Map<number, Answer>();
  private lastBlobs: Blobs = new Map();
  private meshes = new Map<string, Blobs>();
  private wasHere = false;
  /** Values that were taken, whose fields the next state will show. */
  private taken = new Set<string>();

  constructor(address: string, token: string) {
    this.socket = new Socket(address, token, {
      heard: (message, blobs) => this.heard(message, blobs),
      opened: () => undefined,
      lost: (forGood) => this.lost(forGood),
    });
    this.setter = new Setter((message) => this.socket.send(message) !== null);
  }

  connect(): void {
    this.socket.connect();
  }

  /** Sends a message; `then` gets the answer that repeats its id. */
  send(message: { kind: string } & Record<string, unknown>, then?: Answer): boolean {
    const id = this.socket.send(message);
    if (id !== null && then) this.answers.set(id, then);
    return id !== null;
  }

  // Values

  set(changes: Change[], label: string, settle: boolean): void {
    this.waiting = true;
    this.setter.set(changes, label, settle);
  }

  /** What was typed into a field: kept until it is taken. */
  type(path: Path, text: string): void {
    this.drafts[keyOf(path)] = text;
    this.keepDrafts();
  }

  draft(path: Path): string | null {
    return this.drafts[keyOf(path)] ?? null;
  }

  dropDraft(path: Path): void {
    Reflect.deleteProperty(this.drafts, keyOf(path));
    this.keepDrafts();
    const key = keyOf(path);
    this.problems = this.problems.filter((problem) => keyOf(problem.path) !== key);
  }

  problem(path: Path): Problem | null {
    const key = keyOf(path);
    return this.problems.find((problem) => keyOf(problem.path) === key) ?? null;
  }

  undo(): void {
    if (this.work?.undo) this.send({ kind: "undo" });
  }

  redo(): void {
    if (this.work?.redo) this.send({ kind: "redo" });
  }

  mend(finding: Finding): void {
    if (finding.mend) this.set(finding.mend.changes, finding.mend.label, true);
  }

  // Works

  begin(form: string): void {
    this.send({ kind: "begin", form });
  }

  example(name: string): void {
    this.send({ kind: "example", name });
  }

  drop(name: string, text: string): void {
    this.send({ kind: "drop", name, text });
  }

  goOn(work: string): void {
    this.send({ kind: "work", work });
  }

  forget(work: string): void {
    this.send({ kind: "forget", work });
  }

  putAway(): void {
    kept.keepPlace(null);
    this.clear();
    this.phase = "start";
    this.send({ kind: "start" });
  }

  go(line: LineName): void {
    this.open = line;
    if (this.work) kept.keepPlace({ work: this.work.work, line });
    this.want();
  }

  seek(finding: Finding): void {
    this.sought = { ...finding };
  }

  rewrite(text: string, then: Answer): boolean {
    return this.send({ kind: "rewrite", text, seq: 0 }, then);
  }

  resolve(take: "file" | "own"): void {
    this.outside = null;
    this.send({ kind: "resolve", take });
  }

  say(message: string, remedy = ""): void {
    this.troubles.push({ message, remedy });
  }

  /** Problems that no field on the ticket can show. */
  get strays(): Problem[] {
    const fields = new Set(
      (this.work?.groups ?? []).flatMap((group) => group.fields.map((field) => keyOf(field.path))),
    );
    return this.problems.filter(
      (problem, index, all) =>
        !fields.has(keyOf(problem.path)) &&
        all.findIndex((other) => other.message === problem.message) === index,
    );
  }

  read(index: number): void {
    this.troubles.splice(index, 1);
  }

  // Scenes

  onScene(listener: SceneListener): () => void {
    this.sceneListeners.add(listener);
    if (this.scene) listener(this.scene, this.lastBlobs);
    return () => this.sceneListeners.delete(listener);
  }

  // Fields and findings by line

  fields(line: LineName): { title: string; fields: Field[] }[] {
    return (this.work?.groups ?? []).filter((group) => lineOf(group.name) === line);
  }

  found(line: LineName): Finding[] {
    return (this.findings ?? []).filter((finding) => findingLine(finding) === line);
  }

  counts(line: LineName): Record<Grade, number> {
    const counts = { stop: 0, care: 0, note: 0 };
    for (const finding of this.found(line)) counts[finding.grade] += 1;
    return counts;
  }

  // What the server says

  private heard(message: Message, blobs: Blobs): void {
    const answer = message.id === undefined ? undefined : this.answers.get(message.id);
    if (message.id !== undefined) this.answers.delete(message.id);
    switch (message.kind) {
      case "welcome":
        this.welcomed(message);
        break;
      case "start":
        this.start = message as unknown as StartPage;
        if (this.phase === "connecting") this.phase = "start";
        break;
      case "opened":
        this.openedWork(String(message.work), String(message.file ?? ""));
        break;
      case "state":
        this.stated(message as unknown as State);
        break;
      case "scene":
        this.drew(message as unknown as SentScene, blobs);
        break;
      case "refused":
        this.refused(Number(message.seq), (message.problems as Problem[] | undefined) ?? []);
        break;
      case "findings":
        if (this.current(message)) {
          this.findings = message.findings as Finding[];
          this.unlooked = (message.problem as Trouble | undefined) ?? null;
        }
        break;
      case "saved":
        if (this.work) this.work = { ...this.work, saved: String(message.saved) };
        break;
      case "changed_outside":
        this.outside = { message: String(message.message), remedy: String(message.remedy ?? "") };
        break;
      case "busy":
        this.busy = message.what ? (message as unknown as Busy) : null;
        break;
      case "improving":
        this.improving = message;
        break;
      case "making":
        this.making = message.share === null ? null : (message as unknown as Busy);
        break;
      case "made":
        this.made = message;
        this.making = null;
        break;
      case "copies":
        this.copies = message.copies as Copy[];
        break;
      case "text":
        this.text = String(message.text);
        break;
      case "trouble":
        this.troubled(message);
        break;
      default:
        if ((RESULTS as readonly string[]).includes(message.kind) && this.current(message)) {
          this.results = { ...this.results, [message.kind]: message };
        }
    }
    answer?.(message, blobs);
  }

  private current(message: Message): boolean {
    return message.revision === undefined || !this.work || Number(message.revision) >= this.work.revision;
  }

  private welcomed(message: Message): void {
    this.connection = "here";
    this.kinds = (message.kinds as string[] | undefined) ?? [];
    const place = this.work ? { work: this.work.work, line: this.open } : kept.place();
    if (place) {
      this.send({ kind: "have", meshes: [...this.meshes.keys()] });
      if (LINES.includes(place.line as LineName)) this.open = place.line as LineName;
      this.send({ kind: "work", work: place.work });
    } else {
      this.send({ kind: "start" });
    }
    this.wasHere = true;
  }

  private openedWork(work: string, file: string): void {
    const again = this.work?.work === work;
    if (!again) {
      const open = this.open;
      const came = this.phase === "connecting";
      this.clear();
      if (came) this.open = open;
      this.drafts = kept.drafts(work);
    }
    this.file = file;
    kept.keepPlace({ work, line: this.open });
    this.phase = "work";
    this.want();
    if (again) this.setter.again();
  }

  private stated(state: State): void {
    const former = this.work;
    this.work = state;
    if (former?.work === state.work && former.revision !== state.revision) this.made = null;
    for (const key of this.taken) if (!this.setter.newer(key)) Reflect.deleteProperty(this.drafts, key);
    this.taken.clear();
    this.keepDrafts();
    const waiting = state.pending.map((entry) => entry.path);
    this.problems = this.problems.filter((problem) => waiting.some((path) => within(problem.path, path)));
    this.takePending(state.pending);
    if (this.phase === "connecting") this.phase = "work";
  }

  /** What was typed and refused, here or in another window, as the server has kept it. */
  private takePending(pending: Pending[]): void {
    for (const { path, value, message, remedy } of pending) {
      const key = keyOf(path);
      if (path.length && !(key in this.drafts) && value !== null) this.drafts[key] = written(value);
      if (!this.problem(path)) this.problems = [...this.problems, { path, message, remedy }];
    }
  }

  private drew(sent: SentScene, blobs: Blobs): void {
    const former = new Map(this.scene?.parts.map((part) => [part.name, part]));
    const parts = sent.parts.flatMap((part) => (typeof part === "string" ? (former.get(part) ?? []) : part));
    const scene: Scene = { ...sent, parts };
    for (const [name, blob] of blobs) {
      const [digest = "", what = ""] = name.split("/");
      const mesh = this.meshes.get(digest) ?? new Map();
      mesh.set(what, blob);
      this.meshes.set(digest, mesh);
    }
    const used = new Set(scene.parts.map((each) => each.mesh));
    this.lastBlobs = new Map();
    for (const digest of used) {
      for (const [what, blob] of this.meshes.get(digest) ?? []) this.lastBlobs.set(`${digest}/${what}`, blob);
    }
    this.scene = scene;
    for (const listener of this.sceneListeners) listener(scene, this.lastBlobs);
    for (const digest of scene.gone) this.meshes.delete(digest);
    const keys = this.setter.answered(scene.seq);
    for (const key of keys) {
      if (this.setter.newer(key)) continue;
      this.taken.add(key);
      this.problems = this.problems.filter((problem) => keyOf(problem.path) !== key);
    }
    this.waiting = !this.setter.idle;
  }

  private refused(seq: number, problems: Problem[]): void {
    const keys = new Set(this.setter.answered(seq));
    this.problems = [
      ...this.problems.filter((problem) => !keys.has(keyOf(problem.path))),
      ...problems,
    ].filter(
      (problem, index, all) => all.findIndex((other) => keyOf(other.path) === keyOf(problem.path)) === index,
    );
    this.waiting = !this.setter.idle;
  }

  private troubled(message: Message): void {
    if (this.phase === "connecting") {
      kept.keepPlace(null);
      this.send({ kind: "start" });
    }
    this.say(String(message.message ?? ""), String(message.remedy ?? ""));
  }

  private want(): void {
    this.send({ kind: "want", what: WANTS[this.open] });
  }

  private lost(forGood: boolean): void {
    this.answers.clear();
    this.busy = null;
    this.connection = forGood ? "ended" : this.wasHere ? "lost" : "first";
  }

  private clear(): void {
    this.setter.forget();
    this.work = null;
    this.scene = null;
    this.findings = null;
    this.unlooked = null;
    this.problems = [];
    this.results = {};
    this.improving = null;
    this.making = null;
    this.made = null;
    this.outside = null;
    this.taken.clear();
    this.copies = null;
    this.text = null;
    this.drafts = {};
    this.open = "piece";
    this.sought = null;
    this.waiting = false;
    this.meshes = new Map();
    this.lastBlobs = new Map();
  }

  private keepDrafts(): void {
    if (this.work) kept.keepDrafts(this.work.work, { ...this.drafts });
  }
}

/** The ticket's line on which a group of fields stands. */
export function lineOf(group: string): LineName {
  return LINES.find((name) => name === group) ?? "sizes";
}

/** The ticket's line under which a finding is listed. */
export function findingLine(finding: Finding): LineName {
  if (finding.place === "sheet") return "sheets";
  if (finding.place === "cushion" || finding.place === "evenings") return finding.place;
  return "piece";
}

/** A value as it stands in a field. */
function written(value: Value): string {
  return Array.isArray(value) ? value.map(written).join(", ") : String(value);
}

/** Whether a path is another or lies within it. */
function within(path: Path, other: Path): boolean {
  return other.every((step, index) => step === path[index]);
}
