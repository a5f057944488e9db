// A measure between two places: a line on the screen, and its length in miniature and at full size.
import type { Vector3 } from "three";
import { inches, mm as shown } from "../length";
import { measure as words } from "../words";

const SVG = "http://www.w3.org/2000/svg";
type On = (point: Vector3) => { x: number; y: number };

export class Measure {
  on = false;
  scale: number | null = null; // 12 for 1:12
  private points: Vector3[] = [];
  private hover: { point: Vector3; snapped: boolean } | null = null;
  private svg = document.createElementNS(SVG, "svg");
  private line = document.createElementNS(SVG, "line");
  private dots = [0, 1, 2].map(() => document.createElementNS(SVG, "circle"));
  private label = document.createElement("p");

  constructor(host: HTMLElement) {
    this.svg.style.cssText = "position:absolute;inset:0;width:100%;height:100%;pointer-events:none";
    this.svg.setAttribute("aria-hidden", "true");
    this.line.style.cssText = "stroke:var(--plum);stroke-width:2";
    this.svg.append(this.line, ...this.dots);
    this.label.style.cssText =
      "position:absolute;margin:0;pointer-events:none;padding:0.25rem 0.7rem;white-space:nowrap;" +
      "background:var(--paper);color:var(--ink);transform:translate(-50%,-150%);left:0;top:0";
    this.label.setAttribute("role", "status");
    host.append(this.svg, this.label);
    this.switch(false);
  }

  switch(on: boolean): void {
    this.on = on;
    this.points = [];
    this.hover = null;
    this.svg.style.display = this.label.style.display = on ? "" : "none";
  }

  at(point: Vector3): void {
    if (this.points.length > 1) this.points = [];
    this.points.push(point);
  }

  over(place: { point: Vector3; snapped: boolean } | null): void {
    this.hover = place;
  }

  /** One place back; false where there is none. */
  undo(): boolean {
    return this.points.pop() !== undefined;
  }

  draw(on: On, width: number): void {
    if (!this.on) return;
    const places = [...this.points];
    const moving = this.points.length < 2 ? this.hover : null;
    const end = this.points[1] ?? (this.points[0] && moving?.point);
    this.dots.forEach((dot, index) => {
      const point = index < 2 ? places[index] : moving?.point;
      dot.style.display = point ? "" : "none";
      if (!point) return;
      const { x, y } = on(point);
      dot.setAttribute("cx", String(x));
      dot.setAttribute("cy", String(y));
      const loose = index === 2 && !moving?.snapped;
      dot.setAttribute("r", loose ? "3" : "5");
      dot.style.cssText = `stroke:var(--plum);stroke-width:2;fill:${index === 2 ? "none" : "var(--paper)"}`;
    });
    const start = this.points[0];
    this.line.style.display = start && end ? "" : "none";
    let [x, y] = [width / 2, 64];
    if (start && end) {
      const [a, b] = [on(start), on(end)];
      for (const [name, value] of Object.entries({ x1: a.x, y1: a.y, x2: b.x, y2: b.y }))
        this.line.setAttribute(name, String(value));
      [x, y] = [(a.x + b.x) / 2, (a.y + b.y) / 2];
    }
    this.label.style.left = `${Math.max(90, Math.min(width - 90, x))}px`;
    this.label.style.top = `${Math.max(60, y)}px`;
    this.tell(start && end ? start.distanceTo(end) : null);
  }

  dispose(): void {
    this.svg.remove();
    this.label.remove();
  }

  private tell(mm: number | null): void {
    if (mm === null) {
      const said = this.points.length ? words.second : words.first;
      if (this.label.textContent !== said) this.label.textContent = said;
      return;
    }
    const small = document.createElement("span");
    small.style.color = "var(--plum)";
    small.textContent = shown(mm);
    const full = this.scale ? ` · ${fullSize(mm * this.scale)} ${words.full}` : "";
    if (this.label.textContent !== `${small.textContent}${full}`) this.label.replaceChildren(small, full);
  }
}

function fullSize(mm: number): string {
  return `${mm >= 1000 ? `${(mm / 1000).toFixed(3)} m` : `${mm.toFixed(0)} mm`} (${inches(mm)})`;
}
