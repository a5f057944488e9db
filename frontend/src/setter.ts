// Values on their way to the server: one message under way, the latest of each value waits.
import type { Change, Path } from "./wire";

export const keyOf = (path: Path): string => JSON.stringify(path);

interface Waiting {
  changes: Map<string, Change>;
  label: string;
  settle: boolean;
}

type Send = (message: { kind: string } & Record<string, unknown>) => boolean;

export class Setter {
  private waiting: Waiting | null = null;
  private flying: (Waiting & { seq: number }) | null = null;
  private seq = 0;

  constructor(private readonly send: Send) {}

  /** Puts values on their way. Where one is under way, these wait, newer ones replacing older. */
  set(changes: Change[], label: string, settle: boolean): void {
    const waiting = this.waiting ?? { changes: new Map<string, Change>(), label, settle: false };
    for (const change of changes) waiting.changes.set(keyOf(change.path), change);
    waiting.label = label;
    waiting.settle = waiting.settle || settle;
    this.waiting = waiting;
    this.next();
  }

  /** The answer to a set came: says which values it was about, and sends what waits. */
  answered(seq: number): string[] {
    const flying = this.flying;
    if (!flying || flying.seq !== seq) return [];
    this.flying = null;
    this.next();
    return [...flying.changes.keys()];
  }

  /** Whether a newer value of the same place is still on its way. */
  newer(key: string): boolean {
    return this.flying?.changes.has(key) === true || this.waiting?.changes.has(key) === true;
  }

  get idle(): boolean {
    return this.flying === null && this.waiting === null;
  }

  /** After a loss: what was under way is sent again, below anything newer. */
  again(): void {
    if (this.flying) {
      const { changes, label, settle } = this.flying;
      for (const [key, change] of this.waiting?.changes ?? []) changes.set(key, change);
      this.waiting = {
        changes,
        label: this.waiting?.label ?? label,
        settle: settle || this.waiting?.settle === true,
      };
      this.flying = null;
    }
    this.next();
  }

  forget(): void {
    this.waiting = null;
    this.flying = null;
  }

  private next(): void {
    if (this.flying || !this.waiting) return;
    const { changes, label, settle } = this.waiting;
    const seq = this.seq + 1;
    if (!this.send({ kind: "set", seq, changes: [...changes.values()], label, settle })) return;
    this.seq = seq;
    this.flying = { ...this.waiting, seq };
    this.waiting = null;
  }
}
