// What the pointer and the keys pick: the part under it, the next one, or a corner to measure from.
import type { Vector3 } from "three";
import type { Measure } from "./measure";
import type { Hit } from "./ray";

export interface Place {
  x: number;
  y: number;
}

/** What the pointer asks of the view, and what it tells it. */
export interface Around {
  hit(place: Place): Hit | null;
  corner(hit: Hit): { point: Vector3; snapped: boolean };
  names(): string[];
  cursor(shape: string): void;
  ask(): void;
  change(): void;
  hovered(part: string | null, layer: number | null): void;
  picked(part: string | null, layer: number | null): void;
}

export class Pointer {
  held: string | null = null;
  pointed: string | null = null;
  private place: Place | null = null;
  private asked = 0;

  constructor(
    private ruler: Measure,
    private around: Around,
  ) {}

  /** Let go of what is not there any more. */
  only(there: { has(name: string): boolean }): void {
    if (this.held !== null && !there.has(this.held)) this.held = null;
    if (this.pointed !== null && !there.has(this.pointed)) this.pointed = null;
  }

  hold(name: string | null): void {
    if (this.held === name) return;
    this.held = name;
    this.around.change();
  }

  measure(on: boolean): void {
    if (on === this.ruler.on) return;
    this.ruler.switch(on);
    this.around.cursor(on ? "crosshair" : "");
    this.around.ask();
  }

  /** Looked up once a frame: a mouse moves more often. */
  point(place: Place | null): void {
    this.place = place;
    if (this.asked) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = 0;
      const hit = this.place && this.around.hit(this.place);
      if (this.ruler.on) {
        this.ruler.over(hit ? this.around.corner(hit) : null);
        this.around.ask();
      }
      const name = this.ruler.on ? null : (hit?.name ?? null);
      if (name === this.pointed) return;
      this.pointed = name;
      if (!this.ruler.on) this.around.cursor(name ? "pointer" : "");
      this.around.hovered(name, name === null ? null : (hit?.layer ?? null));
      this.around.change();
    });
  }

  click(place: Place): void {
    const hit = this.around.hit(place);
    if (this.ruler.on) {
      if (hit) this.ruler.at(this.around.corner(hit).point);
      this.around.ask();
      return;
    }
    this.pick(hit?.name ?? null, hit?.layer ?? null);
  }

  next(forward: boolean): void {
    const names = [...new Set(this.around.names())];
    const at = this.held === null ? -1 : names.indexOf(this.held);
    const to = forward ? at + 1 : at < 0 ? names.length - 1 : at - 1;
    this.pick(names.at(to % Math.max(1, names.length)) ?? null, null);
  }

  leave(): void {
    if (this.ruler.on && this.ruler.undo()) this.around.ask();
    else this.pick(null, null);
  }

  dispose(): void {
    cancelAnimationFrame(this.asked);
  }

  private pick(name: string | null, layer: number | null): void {
    this.hold(name);
    this.around.picked(name, layer);
  }
}
