// Moving about on something flat: by wheel, by dragging, by keys. One unit is one millimetre.

export class Pan {
  x = $state(0);
  y = $state(0);
  /** CSS pixels for one millimetre. */
  scale = $state(1);
  private box = { width: 1, height: 1 };
  private whole = { x: 0, y: 0, width: 1, height: 1 };
  private drag: { id: number; x: number; y: number } | null = null;
  private fitted = true;

  get transform(): string {
    return `translate(${this.x} ${this.y}) scale(${this.scale})`;
  }

  /** The host has this size, px; what was shown whole stays so. */
  resize(width: number, height: number): void {
    this.box = { width, height };
    if (this.fitted) this.fit();
  }

  /** All there is: where it lies, mm. */
  of(x: number, y: number, width: number, height: number): void {
    const same = JSON.stringify(this.whole) === JSON.stringify({ x, y, width, height });
    this.whole = { x, y, width, height };
    if (!same && this.fitted) this.fit();
  }

  fit(): void {
    this.show(this.whole.x, this.whole.y, this.whole.width, this.whole.height);
    this.fitted = true;
  }

  /** Show one place as large as there is room. */
  show(x: number, y: number, width: number, height: number, most = Infinity): void {
    const room = 0.94;
    this.scale = Math.min(most, (this.box.width * room) / width, (this.box.height * room) / height);
    this.centre(x + width / 2, y + height / 2);
  }

  /** One millimetre is so many pixels; the middle of what is seen stays. */
  exactly(scale: number): void {
    this.zoom(scale / this.scale, this.box.width / 2, this.box.height / 2);
  }

  centre(x: number, y: number): void {
    this.fitted = false;
    this.x = this.box.width / 2 - x * this.scale;
    this.y = this.box.height / 2 - y * this.scale;
  }

  zoom(by: number, x: number, y: number): void {
    const scale = Math.min(400, Math.max(0.05, this.scale * by));
    const real = scale / this.scale;
    this.x = x - (x - this.x) * real;
    this.y = y - (y - this.y) * real;
    this.scale = scale;
    this.fitted = false;
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
    this.fitted = false;
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
    if (event.key.startsWith("Arrow")) this.fitted = false;
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
