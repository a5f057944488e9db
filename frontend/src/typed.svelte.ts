// What was typed into fields: kept until it is taken, with what is wrong with it where it was refused.
import * as kept from "./remembered";
import { keyOf, type Setter } from "./setter";
import type { Group, Path, Pending, Problem, State, Value } from "./wire";

export class Typed {
  private drafts = $state<Record<string, string>>({});
  private problems = $state.raw<Problem[]>([]);
  /** What is wrong with a whole text: that which stands, or the last that was written anew and refused. */
  private whole = $state.raw<Problem[]>([]);
  /** Values that were taken, whose fields the next state will show. */
  private taken = new Set<string>();
  private work: string | null = null;

  constructor(private readonly setter: Setter) {}

  begin(work: string): void {
    this.clear();
    this.work = work;
    this.drafts = kept.drafts(work);
  }

  clear(): void {
    this.work = null;
    this.drafts = {};
    this.problems = [];
    this.whole = [];
    this.taken.clear();
  }

  type(path: Path, text: string): void {
    this.drafts[keyOf(path)] = text;
    this.keep();
  }

  draft(path: Path): string | null {
    return this.drafts[keyOf(path)] ?? null;
  }

  drop(path: Path): void {
    const key = keyOf(path);
    Reflect.deleteProperty(this.drafts, key);
    this.keep();
    this.problems = this.problems.filter((problem) => keyOf(problem.path) !== key);
  }

  problem(path: Path): Problem | null {
    const key = keyOf(path);
    return this.problems.find((problem) => keyOf(problem.path) === key) ?? null;
  }

  /** Problems that no field of these groups can show. */
  strays(groups: Group[]): Problem[] {
    const fields = new Set(groups.flatMap((group) => group.fields.map((field) => keyOf(field.path))));
    const loose = this.problems.filter((problem) => !fields.has(keyOf(problem.path)));
    return [...this.whole, ...loose].filter(
      (problem, index, all) => all.findIndex((other) => other.message === problem.message) === index,
    );
  }

  /** These values are drawn. */
  took(keys: string[]): void {
    for (const key of keys) {
      if (this.setter.newer(key)) continue;
      this.taken.add(key);
      this.problems = this.problems.filter((problem) => keyOf(problem.path) !== key);
    }
  }

  /** These values cannot be. */
  refused(keys: string[], problems: Problem[]): void {
    const former = this.problems.filter((problem) => !keys.includes(keyOf(problem.path)));
    this.problems = [...former, ...problems].filter(
      (problem, index, all) => all.findIndex((other) => keyOf(other.path) === keyOf(problem.path)) === index,
    );
  }

  /** A whole text cannot be; what was wrong with an earlier one is of no account any more. */
  refusedWhole(problems: Problem[]): void {
    this.whole = problems.map((problem) => ({ ...problem, path: [] }));
  }

  /** How things stand by now: what was taken stands in its field, and what waits is with the server too. */
  stated({ pending, problems }: State): void {
    for (const key of this.taken) if (!this.setter.newer(key)) Reflect.deleteProperty(this.drafts, key);
    this.taken.clear();
    this.keep();
    const values = pending.filter(({ path }) => path.length);
    const text = pending.filter(({ path }) => !path.length);
    this.problems = this.problems.filter((problem) => values.some(({ path }) => within(problem.path, path)));
    this.takePending(values);
    const known = this.whole.some(({ message }) => message === text[0]?.message);
    if (problems.length || !known) this.refusedWhole([...problems, ...text]);
  }

  /** What was typed and refused, here or in another window, as the server has kept it. */
  private takePending(pending: Pending[]): void {
    for (const { path, value, message, remedy } of pending) {
      const key = keyOf(path);
      if (!(key in this.drafts) && value !== null) this.drafts[key] = written(value);
      if (!this.problem(path)) this.problems = [...this.problems, { path, message, remedy }];
    }
  }

  private keep(): void {
    if (this.work !== null) kept.keepDrafts(this.work, { ...this.drafts });
  }
}

/** A value as it stands in a field. */
function written(value: Value): string {
  return Array.isArray(value) ? value.map(written).join(", ") : String(value);
}

/** Whether a path is another or lies within it. */
export function within(path: Path, other: Path): boolean {
  return other.every((step, index) => step === path[index]);
}
