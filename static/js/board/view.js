// The window on the plan: what part of it is seen, and the way between screen and plan.

const LEAST_MM_PER_PX = 0.2;
const MOST_MM_PER_PX = 500;

export class View extends EventTarget {
  constructor(svg) {
    super();
    this.svg = svg;
    this.left = 0;
    this.top = 0; // on the sheet: y runs down
    this.scale = 10; // plan millimetres to a pixel
    this.waiting = false;
    new ResizeObserver(() => this.draw()).observe(svg);
  }

  get size() {
    return [this.svg.clientWidth || 1, this.svg.clientHeight || 1];
  }

  // Where a place on the screen lies on plan.
  toPlan(clientX, clientY) {
    const frame = this.svg.getBoundingClientRect();
    return [this.left + (clientX - frame.left) * this.scale, -(this.top + (clientY - frame.top) * this.scale)];
  }

  fit([left, bottom, right, top], marginPx = 44) {
    const [wide, high] = this.size;
    const room = [Math.max(wide - 2 * marginPx, 50), Math.max(high - 2 * marginPx, 50)];
    this.scale = Math.max((right - left) / room[0], (top - bottom) / room[1], LEAST_MM_PER_PX);
    this.left = (left + right) / 2 - (wide / 2) * this.scale;
    this.top = -(top + bottom) / 2 - (high / 2) * this.scale;
    this.draw();
  }

  zoom(factor, clientX, clientY) {
    const frame = this.svg.getBoundingClientRect();
    const [px, py] = clientX === undefined
      ? [frame.width / 2, frame.height / 2]
      : [clientX - frame.left, clientY - frame.top];
    const scale = Math.min(MOST_MM_PER_PX, Math.max(LEAST_MM_PER_PX, this.scale / factor));
    this.left += px * (this.scale - scale);
    this.top += py * (this.scale - scale);
    this.scale = scale;
    this.draw();
  }

  pan(dxPx, dyPx) {
    this.left -= dxPx * this.scale;
    this.top -= dyPx * this.scale;
    this.draw();
  }

  // Once a frame at most.
  draw() {
    if (this.waiting) {
      return;
    }
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      const [wide, high] = this.size;
      const box = [this.left, this.top, wide * this.scale, high * this.scale];
      this.svg.setAttribute("viewBox", box.map((value) => Math.round(value * 100) / 100).join(" "));
      if (this.scale !== this.drawnScale) {
        this.drawnScale = this.scale;
        this.dispatchEvent(new Event("scale"));
      }
    });
  }
}
