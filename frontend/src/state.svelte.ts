// All that the page knows, and what happens when the server says something.
import * as kept from "./remembered";
import { findingLine, lineOf, WANTS } from "./lines";
import { type SceneListener, Scenes } from "./scenes";
import { Setter } from "./setter";
import { Socket } from "./socket";
import { Typed, within } from "./typed.svelte";
import type {
  Blobs,
  Busy,
  Change,
  Copy,
  Field,
  Finding,
  Grade,
  Message,
  Offcuts,
  Path,
  Problem,
  Scene,
  SentScene,
  StartPage,
  State,
} from "./wire";
import { LINES, type LineName } from "./words";

export type Phase = "connecting" | "start" | "work";
export type Connection = "first" | "here" | "lost" | "ended";
type Answer = (message: Message, blobs: Blobs) => void;

interface Trouble {
  message: string;
  remedy: string;
}

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
  results = $state.raw<Partial<Record<ResultKind, Message>>>({});
  busy = $state.raw<Busy | null>(null);
  making = $state.raw<Busy | null>(null);
  improving = $state.raw<Message | null>(null);
  made = $state.raw<Message | null>(null);
  offcuts = $state.raw<Offcuts | null>(null);
  copies = $state.raw<Copy[] | null>(null);
  text = $state.raw<string | null>(null);
  troubles = $state<Trouble[]>([]);
  open = $state<LineName>("piece");
  waiting = $state(false);
  /** Another program has changed the file: the maker says which of the two goes on. */
  outside = $state.raw<Trouble | null>(null);
  /** A finding that was clicked: the view and the sheets go there. */
  sought = $state.raw<Finding | null>(null);

  private readonly socket: Socket;
  private readonly setter: Setter;
  private readonly typed: Typed;
  private readonly scenes = new Scenes();
  private readonly answers = new Map<number, Answer>();
  private wasHere = false;
  private first: ({ kind: string } & Record<string, unknown>) | null = null;
  /** Choices of offcuts that are not answered yet. */
  private choosing = 0;

  constructor(address: string, token: string) {
    this.socket = new Socket(address, token, {
      heard: (message, blobs) => this.heard(message, blobs),
      lost: (forGood) => this.lost(forGood),
    });
    this.setter = new Setter((message) => this.socket.send(message) !== null);
    this.typed = new Typed(this.setter);
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

  type(path: Path, text: string): void {
    this.typed.type(path, text);
  }

  draft(path: Path): string | null {
    return this.typed.draft(path);
  }

  dropDraft(path: Path): void {
    this.typed.drop(path);
  }

  problem(path: Path): Problem | null {
    return this.typed.problem(path);
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

  /** Asks for a work, as soon as the server has let this page in. */
  private lay(message: { kind: string } & Record<string, unknown>): void {
    if (this.connection === "here") this.send(message);
    else this.first = message;
  }

  begin(form: string): void {
    this.lay({ kind: "begin", form });
  }

  example(name: string): void {
    this.lay({ kind: "example", name });
  }

  drop(name: string, text: string): void {
    this.lay({ kind: "drop", name, text });
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
    if (line !== this.open) this.sought = null;
    this.open = line;
    if (this.work) kept.keepPlace({ work: this.work.work, line });
    this.want();
    // Offcuts may have been entered or used since.
    if (line === "sheets") this.send({ kind: "offcuts" });
  }

  get chosenOffcuts(): string[] {
    return (this.offcuts?.offcuts ?? []).filter((each) => each.chosen).map((each) => each.name);
  }

  useOffcuts(names: string[]): void {
    if (!this.offcuts) return;
    const offcuts = this.offcuts.offcuts.map((each) => ({ ...each, chosen: names.includes(each.name) }));
    this.offcuts = { ...this.offcuts, offcuts };
    this.choosing += 1;
    const sent = this.send({ kind: "use_offcuts", names }, (message) => {
      this.choosing -= 1;
      if (message.kind === "trouble") this.send({ kind: "offcuts" });
    });
    if (!sent) this.choosing -= 1;
  }

  /** Go to the place of a finding: where the open line shows it, or on another line. */
  seek(finding: Finding, line: LineName = this.open): void {
    if (line !== this.open) this.go(line);
    this.sought = { ...finding };
  }

  rewrite(text: string, then: Answer): boolean {
    return this.send({ kind: "rewrite", text, seq: 0 }, then);
  }

  /** Give up what was typed and refused, there or as a whole text. */
  letGo(path: Path): void {
    this.typed.drop(path);
    this.send({ kind: "let_go", path });
  }

  /** The value that waits on the server because of this problem: it can be given up. */
  waitingFor(problem: Problem): Path | null {
    const waits = (this.work?.pending ?? []).find(
      ({ path, message }) => message === problem.message || (path.length > 0 && within(problem.path, path)),
    );
    return waits?.path ?? null;
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
    return this.typed.strays(this.work?.groups ?? []);
  }

  read(index: number): void {
    this.troubles.splice(index, 1);
  }

  // Scenes

  onScene(listener: SceneListener): () => void {
    return this.scenes.on(listener);
  }

  // Fields and findings by line

  fields(line: LineName): { title: string; fields: Field[] }[] {
    return (this.work?.groups ?? []).filter((group) => lineOf(group.name) === line);
  }

  found(line: LineName): Finding[] {
    return (this.findings ?? []).filter((finding) => findingLine(finding) === line);
  }

  /** What is noted beside the piece: at the piece's own line what is about its joints too. */
  noted(line: LineName): Finding[] {
    return line === "piece" ? [...this.found("piece"), ...this.found("joints")] : this.found(line);
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
        this.welcomed();
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
          this.forgetSought();
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
      case "offcuts":
        // A newer choice that is under way stays as it was ticked.
        if (this.choosing <= 1) this.shelved(message as unknown as Offcuts);
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

  /** What was sought and is mended is not marked any more. */
  private forgetSought(): void {
    const { sought } = this;
    const there = this.findings?.some(
      (finding) => sought && finding.code === sought.code && finding.part === sought.part,
    );
    if (sought && !there) this.sought = null;
  }

  private shelved(offcuts: Offcuts): void {
    // On the sheets' line the ticket itself says so.
    if (offcuts.words && offcuts.words !== this.offcuts?.words && this.open !== "sheets")
      this.say(offcuts.words);
    this.offcuts = offcuts;
  }

  /** Whether a result is of the design as it stands now, however new. */
  current(message: Message): boolean {
    return message.revision === undefined || Number(message.revision) >= this.revision;
  }

  /** Whether the design has changed since, or is about to. */
  outdated(message: Message): boolean {
    return this.waiting || !this.current(message);
  }

  /** The latest revision that is known: while a slider is held, scenes tell of it first. */
  private get revision(): number {
    return Math.max(this.work?.revision ?? 0, this.scene?.revision ?? 0);
  }

  /** Why nothing of the work can be drawn as it stands; null where something is. */
  get unread(): Problem | null {
    return this.work?.problems[0] ?? null;
  }

  private welcomed(): void {
    this.connection = "here";
    const place = this.work ? { work: this.work.work, line: this.open } : kept.place();
    if (this.first) {
      this.send(this.first);
      this.first = null;
    } else if (place) {
      this.send({ kind: "have", meshes: this.scenes.kept });
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
      this.typed.begin(work);
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
    if (former?.work === state.work && former.revision !== state.revision) {
      this.made = null;
      // Another board may be suited by other offcuts.
      if (this.open === "sheets") this.send({ kind: "offcuts" });
    }
    this.typed.stated(state);
    if (this.phase === "connecting") this.phase = "work";
  }

  private drew(sent: SentScene, blobs: Blobs): void {
    this.scene = this.scenes.take(sent, blobs);
    this.typed.took(this.setter.answered(sent.seq));
    this.waiting = !this.setter.idle;
  }

  private refused(seq: number, problems: Problem[]): void {
    if (seq === 0) this.typed.refusedWhole(problems);
    else this.typed.refused(this.setter.answered(seq), problems);
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
    this.choosing = 0;
    this.busy = null;
    this.connection = forGood ? "ended" : this.wasHere ? "lost" : "first";
  }

  private clear(): void {
    this.setter.forget();
    this.work = null;
    this.scene = null;
    this.findings = null;
    this.unlooked = null;
    this.results = {};
    this.improving = null;
    this.making = null;
    this.made = null;
    this.outside = null;
    this.offcuts = null;
    this.copies = null;
    this.text = null;
    this.typed.clear();
    this.open = "piece";
    this.sought = null;
    this.waiting = false;
    this.scenes.clear();
  }
}
