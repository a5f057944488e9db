// Mouse, fingers and keys on the canvas: turn, move, zoom, point and click.
export interface Moves {
  turn(x: number, y: number): void; // pixels
  pan(x: number, y: number): void;
  zoom(factor: number, x?: number, y?: number): void;
  fit(): void;
  point(place: { x: number; y: number } | null): void;
  click(place: { x: number; y: number }): void;
  next(forward: boolean): void;
  leave(): void;
}

const STILL = 4; // pixels that a click may wander
const KEY = 24; // pixels for one press

export class Hand {
  private down = new Map<number, { x: number; y: number }>();
  private wandered = 0;
  private panning = false;
  private off = new AbortController();

  constructor(
    private canvas: HTMLCanvasElement,
    private moves: Moves,
  ) {
    const on = <K extends keyof HTMLElementEventMap>(
      kind: K,
      run: (event: HTMLElementEventMap[K]) => void,
    ): void => canvas.addEventListener(kind, run, { signal: this.off.signal, passive: false });
    on("pointerdown", (event) => this.press(event));
    on("pointermove", (event) => this.move(event));
    on("pointerup", (event) => this.lift(event, true));
    on("pointercancel", (event) => this.lift(event, false));
    on("pointerleave", () => moves.point(null));
    on("dblclick", () => moves.fit());
    on("contextmenu", (event) => event.preventDefault());
    on("wheel", (event) => {
      event.preventDefault();
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 33 : 1;
      const by = Math.max(-200, Math.min(200, event.deltaY * lines));
      const place = this.place(event);
      moves.zoom(Math.exp(-by * 0.0018), place.x, place.y);
    });
    on("keydown", (event) => this.key(event));
  }

  dispose(): void {
    this.off.abort();
  }

  private place(event: MouseEvent): { x: number; y: number } {
    const box = this.canvas.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  private press(event: PointerEvent): void {
    if (event.pointerType !== "mouse" || event.button === 0) this.canvas.focus({ preventScroll: true });
    this.canvas.setPointerCapture(event.pointerId);
    if (!this.down.size) this.wandered = 0;
    this.down.set(event.pointerId, this.place(event));
    this.panning = event.button !== 0 || event.shiftKey || event.ctrlKey || event.metaKey;
    this.moves.point(null);
  }

  private move(event: PointerEvent): void {
    const before = this.down.get(event.pointerId);
    const now = this.place(event);
    if (!before) {
      this.moves.point(now);
      return;
    }
    const [x, y] = [now.x - before.x, now.y - before.y];
    this.wandered += Math.hypot(x, y);
    const other = [...this.down].find(([id]) => id !== event.pointerId)?.[1];
    this.down.set(event.pointerId, now);
    if (this.wandered < STILL) return;
    if (other) {
      const was = Math.hypot(before.x - other.x, before.y - other.y);
      const is = Math.hypot(now.x - other.x, now.y - other.y);
      this.moves.pan(x / 2, y / 2);
      if (was > 1 && is > 1) this.moves.zoom(is / was, (now.x + other.x) / 2, (now.y + other.y) / 2);
    } else if (this.panning) this.moves.pan(x, y);
    else this.moves.turn(x, y);
  }

  private lift(event: PointerEvent, meant: boolean): void {
    const alone = this.down.size === 1 && this.down.delete(event.pointerId);
    this.down.delete(event.pointerId);
    if (meant && alone && event.button === 0 && this.wandered < STILL) this.moves.click(this.place(event));
  }

  private key(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const pan = event.shiftKey;
    const arrows: Record<string, [number, number]> = {
      ArrowLeft: [-KEY, 0],
      ArrowRight: [KEY, 0],
      ArrowUp: [0, -KEY],
      ArrowDown: [0, KEY],
    };
    const arrow = arrows[event.key];
    if (arrow) (pan ? this.moves.pan : this.moves.turn)(...arrow);
    else if (event.key === "+" || event.key === "=") this.moves.zoom(1.2);
    else if (event.key === "-") this.moves.zoom(1 / 1.2);
    else if (event.key === "0" || event.key === "Home") this.moves.fit();
    else if (event.key === "n" || event.key === "p") this.moves.next(event.key === "n");
    else if (event.key === "Escape") this.moves.leave();
    else return;
    event.preventDefault();
  }
}
