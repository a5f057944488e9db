// Moving about on something flat: by wheel, by dragging, by keys. One unit is one millimetre.

interface Place {
  x: number;
  y: number;
  width: number;
  height: number;
}

export class Pan {
  x = $state(0);
  y = $state(0);
  /** CSS pixels for one millimetre. */
  scale = $state(1);
  private box = { width: 1, height: 1 };
  private whole: Place = { x: 0, y: 0, width: 1, height: 1 };
  private drag: { id: number; x: number; y: number } | null = null;
  /** The place that is shown as large as there is room, as long as nobody has moved it; null for all there is. */
  private aim: Place | null = null;
  private still = true;

  get transform(): string {
    return `translate(${this.x} ${this.y}) scale(${this.scale})`;
  }

  /** The host has this size, px. A place that was shown stays so; after moves by hand, what is in the middle. */
  resize(width: number, height: number): void {
    const former = this.box;
    this.box = { width, height };
    this.x += (width - former.width) / 2;
    this.y += (height - former.height) / 2;
    if (this.still) this.lay();
  }

  /** All there is: where it lies, mm. */
  of(x: number, y: number, width: number, height: number): void {
    const same = JSON.stringify(this.whole) === JSON.stringify({ x, y, width, height });
    this.whole = { x, y, width, height };
    if (!same && this.still && !this.aim) this.lay();
  }

  fit(): void {
    this.aim = null;
    this.still = true;
    this.lay();
  }

  /** Show one place as large as there is room, now and after the room has changed. */
  show(x: number, y: number, width: number, height: number): void {
    this.aim = { x, y, width, height };
    this.still = true;
    this.lay();
  }

  private lay(): void {
    const { x, y, width, height } = this.aim ?? this.whole;
    const room = 0.94;
    this.scale = Math.min((this.box.width * room) / width, (this.box.height * room) / height);
    this.x = this.box.width / 2 - (x + width / 2) * this.scale;
    this.y = this.box.height / 2 - (y + height / 2) * this.scale;
  }

  /** One millimetre is so many pixels; the middle of what is seen stays. */
  exactly(scale: number): void {
    this.zoom(scale / this.scale, this.box.width / 2, this.box.height / 2);
  }

  /** Bring a place into the middle, as large as things are. */
  centre(x: number, y: number): void {
    this.still = false;
    this.x = this.box.width / 2 - x * this.scale;
    this.y = this.box.height / 2 - y * this.scale;
  }

  zoom(by: number, x: number, y: number): void {
    const scale = Math.min(400, Math.max(0.05, this.scale * by));
    const real = scale / this.scale;
    this.x = x - (x - this.x) * real;
    this.y = y - (y - this.y) * real;
    this.scale = scale;
    this.still = false;
  }

  wheel = (event: WheelEvent): void => {
    event.preventDefault();
    const box = (event.currentTarget as Element).getBoundingClientRect();
    this.zoom(Math.exp(-event.deltaY * 0.0016), event.clientX - box.left, event.clientY - box.top);
  };

  down = (event: PointerEvent): void => {
    if (event.button > 1 || this.drag) return;
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    this.drag = { id: event.pointerId, x: event.clientX, y: event.clientY };
  };

  move = (event: PointerEvent): void => {
    if (this.drag?.id !== event.pointerId) return;
    this.x += event.clientX - this.drag.x;
    this.y += event.clientY - this.drag.y;
    this.drag = { id: event.pointerId, x: event.clientX, y: event.clientY };
    this.still = false;
  };

  up = (event: PointerEvent): void => {
    if (this.drag?.id === event.pointerId) this.drag = null;
  };

  key = (event: KeyboardEvent): void => {
    if (event.target !== event.currentTarget) return;
    const step = 40;
    const middle: [number, number] = [this.box.width / 2, this.box.height / 2];
    if (event.key === "ArrowLeft") this.x += step;
    else if (event.key === "ArrowRight") this.x -= step;
    else if (event.key === "ArrowUp") this.y += step;
    else if (event.key === "ArrowDown") this.y -= step;
    else if (event.key === "+" || event.key === "=") this.zoom(1.25, ...middle);
    else if (event.key === "-") this.zoom(0.8, ...middle);
    else if (event.key === "0" || event.key === "Home") this.fit();
    else return;
    if (event.key.startsWith("Arrow")) this.still = false;
    event.preventDefault();
  };
}

/** Follows the size of an element. */
export function sized(pan: Pan): (node: Element) => () => void {
  return (node) => {
    const observer = new ResizeObserver(([entry]) => {
      if (entry) pan.resize(entry.contentRect.width, entry.contentRect.height);
    });
    observer.observe(node);
    node.addEventListener("wheel", pan.wheel as EventListener, { passive: false });
    return () => observer.disconnect();
  };
}
