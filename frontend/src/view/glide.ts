// From one seat to another, smoothly, unless whoever looks has asked for stillness.
import type { Seat } from "./eye";

const LASTS = 320; // ms

export class Glide {
  private way: { from: Seat; to: Seat; began: number } | null = null;

  get on(): boolean {
    return this.way !== null;
  }

  /** Begin at `from`, by the shorter turn; the seat to take now. */
  start(from: Seat, goal: Seat): Seat {
    const still = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    const turn = from.turn + Math.atan2(Math.sin(goal.turn - from.turn), Math.cos(goal.turn - from.turn));
    const to = { ...goal, turn };
    this.way = still ? null : { from, to, began: performance.now() };
    return still ? to : from;
  }

  /** Leave off; where it was to end, if it was under way. */
  end(): Seat | null {
    const to = this.way?.to ?? null;
    this.way = null;
    return to;
  }

  /** The seat at this moment, null where nothing moves. */
  at(now: number): Seat | null {
    if (!this.way) return null;
    const { from, to, began } = this.way;
    const t = Math.max(0, Math.min(1, (now - began) / LASTS));
    const s = t * t * (3 - 2 * t);
    if (t === 1) this.way = null;
    return {
      turn: from.turn + (to.turn - from.turn) * s,
      tilt: from.tilt + (to.tilt - from.tilt) * s,
      target: from.target.clone().lerp(to.target, s),
      zoom: from.zoom * (to.zoom / from.zoom) ** s,
    };
  }
}
