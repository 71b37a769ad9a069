// A feature wall folded up beside the plan: its openings are drawn, moved and sized there, or typed.
// The engine's own elevation lies beneath; it is asked for anew after every edit.

import { round } from "./geometry.js";
import { arrowStep } from "./keys.js";
import * as openings from "./openings.js";
import { faultsOf } from "./server.js";
import { html, inField, svg } from "./show.js";

const HANDLE_PX = [12, 22]; // for a mouse, for gloves
const STILL_PX = 4;
const LABELS = { x: "From the start of the wall", z: "Above the deck", width: "Width", height: "Height", depth: "Depth of a niche" };

export class Elevation {
  constructor(store, server, tools) {
    Object.assign(this, { store, server, tools, ref: null, wall: null, isDrawing: false });
  }

  // What stands in the panel of a wall that is chosen.
  part(ref, wall) {
    if (this.ref !== ref) {
      Object.assign(this, { ref, isOpen: false, isDrawing: false, ground: null });
    }
    this.wall = wall;
    this.button = html("button", { type: "button", "data-key": "fold", "aria-expanded": String(this.isOpen), onclick: () => this.fold() }, "Fold the wall up");
    this.box = html("div", { class: "board-folded" });
    return html("div", {}, html("p", { class: "row" }, this.button), this.box);
  }

  fold() {
    this.isOpen = !this.isOpen;
    this.button.setAttribute("aria-expanded", String(this.isOpen));
    this.show();
  }

  // Called once the panel stands on the page: handles are as large as fingers, whatever the scale.
  show() {
    if (!this.box?.isConnected) {
      return;
    }
    if (!this.isOpen) {
      this.box.replaceChildren();
      return;
    }
    this.fault = html("p", { class: "fault", role: "status" });
    this.sheet = svg("svg", { class: "drawing", role: "group", "aria-label": `Elevation of ${this.wall.name || this.wall.id}` });
    this.beneath = svg("g", { class: "beneath" });
    this.above = svg("g", { class: "openings" });
    this.sheet.append(this.beneath, this.above);
    this.box.replaceChildren(this.sheet, this.fault, this.buttons(), ...this.typed());
    this.sheet.addEventListener("pointerdown", (event) => this.pressed(event));
    this.sheet.addEventListener("pointermove", (event) => this.moved(event));
    this.sheet.addEventListener("pointerup", () => this.lifted());
    this.sheet.addEventListener("pointercancel", () => this.dropped());
    this.sheet.addEventListener("keydown", (event) => this.keyed(event));
    // No gesture of the browser's own on an opening: after a quick drag it would swallow the next tap.
    this.sheet.addEventListener("touchstart", (event) => (this.isDrawing || event.target.dataset.opening) && event.preventDefault(), { passive: false });
    this.lay(this.ground);
    this.ask();
  }

  // The elevation as the server draws it; until it comes, the outline of the wall.
  lay(ground) {
    const { length, height } = openings.sizeOf(this.wall);
    this.ground = ground;
    if (ground) {
      this.beneath.replaceChildren(...[...ground.children].map((child) => document.importNode(child, true)));
      this.sheet.setAttribute("viewBox", ground.getAttribute("viewBox"));
      // The outline of the wall begins at its lower start: there is the origin of the elevation.
      const start = ground.querySelector(".ink-wall-outline")?.getAttribute("d").match(/^M([-\d.]+) ([-\d.]+)/);
      this.origin = start ? [Number(start[1]), Number(start[2])] : [0, height];
    } else {
      const outline = svg("path", { d: `M0 0h${length}v${height}h${-length}Z`, class: "outline" });
      this.beneath.replaceChildren(outline);
      this.sheet.setAttribute("viewBox", `${-0.05 * length} ${-0.05 * height} ${1.1 * length} ${1.1 * height}`);
      this.origin = [0, height];
    }
    this.draw();
  }

  async ask() {
    const asked = this.wall;
    const answer = await this.server.wall(this.store.document, asked.id).catch(() => null);
    if (asked !== this.wall || !this.isOpen || !this.sheet.isConnected) {
      return;
    }
    if (answer?.status !== 200) {
      this.fault.replaceChildren(answer ? faultsOf(answer)[0] : "No connection: the boards of the wall are drawn by the server.");
      return;
    }
    this.lay(new DOMParser().parseFromString(answer.body.svg, "image/svg+xml").documentElement);
  }

  // Wall millimetres to a pixel.
  get scale() {
    return this.sheet.viewBox.baseVal.width / (this.sheet.clientWidth || 300);
  }

  // What is drawn already is only moved: a finger loses an element that is taken away beneath it.
  draw() {
    const shown = this.wall.openings ?? [];
    const all = this.draft ? [...shown.filter(({ id }) => id !== this.draft.id), this.draft] : shown;
    const marks = new Set(all.map(({ id }) => id));
    for (const node of [...this.above.children]) {
      if (!marks.has(node.dataset.opening)) {
        node.remove();
      }
    }
    all.forEach((one) => this.drawOne(one));
  }

  drawOne(one) {
    const [ox, oy] = this.origin;
    const key = `opening-${one.id}`;
    const radius = this.scale * HANDLE_PX[Number(matchMedia("(pointer: coarse)").matches)];
    const put = (tag, mark, attributes) => {
      let node = this.above.querySelector(`[data-key="${mark}"]`);
      if (!node) {
        node = svg(tag, { "data-key": mark, "data-opening": one.id, tabindex: "0", role: "button" });
        this.above.append(node);
      }
      Object.entries(attributes).forEach(([name, value]) => node.setAttribute(name, value));
    };
    put("rect", key, { x: ox + one.x, y: oy - one.z - one.height, width: one.width, height: one.height, class: "opening", "aria-label": openings.told(one) });
    const corners = [["Lower corner at the start", one.x, one.z], ["Upper corner at the end", one.x + one.width, one.z + one.height]];
    corners.forEach(([words, x, z], at) =>
      put("circle", `${key}-${at}`, { cx: ox + x, cy: oy - z, r: radius, class: "handle", "data-corner": at, "aria-label": `${words} of ${one.id}` }));
  }

  at(event) {
    const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.sheet.getScreenCTM().inverse());
    return [spot.x - this.origin[0], this.origin[1] - spot.y];
  }

  find(id) {
    return (this.wall.openings ?? []).find((one) => one.id === id);
  }

  pressed(event) {
    const { opening, corner } = event.target.dataset ?? {};
    if ((!opening && !this.isDrawing) || this.store.isClosed) {
      return;
    }
    event.preventDefault();
    this.sheet.setPointerCapture(event.pointerId);
    const one = this.isDrawing ? null : this.find(opening);
    this.drag = { one, corner, from: this.at(event), start: [event.clientX, event.clientY] };
    event.target.focus?.({ preventScroll: true });
  }

  moved(event) {
    const { drag } = this;
    if (!drag) {
      return;
    }
    drag.isMoving ||= Math.hypot(event.clientX - drag.start[0], event.clientY - drag.start[1]) > STILL_PX;
    if (!drag.isMoving) {
      return;
    }
    const to = this.at(event);
    const { grid } = this.tools.snap;
    if (!drag.one) {
      this.draft = openings.pulled(this.wall, this.store.document, drag.from, to, grid);
    } else if (drag.corner === undefined) {
      this.draft = openings.shifted(this.wall, drag.one, to[0] - drag.from[0], to[1] - drag.from[1], grid);
    } else {
      this.draft = openings.sized(this.wall, drag.one, Number(drag.corner), to, grid);
    }
    this.draw();
  }

  lifted() {
    const [drag, draft] = [this.drag, this.draft];
    this.dropped();
    if (!drag?.isMoving || !draft) {
      return;
    }
    this.isDrawing = false;
    const words = drag.one ? (drag.corner === undefined ? "moved" : "sized") : "drawn";
    this.put(draft, words);
  }

  dropped() {
    this.drag = null;
    this.draft = null;
    this.draw();
  }

  keyed(event) {
    const { opening, corner } = event.target.dataset ?? {};
    const one = opening && this.find(opening);
    if (!one) {
      return;
    }
    const step = arrowStep(event, this.tools.snap.grid);
    if (step) {
      event.preventDefault();
      const at = corner === "1" ? [one.x + one.width, one.z + one.height] : [one.x, one.z];
      const made = corner === undefined
        ? openings.shifted(this.wall, one, ...step, 0)
        : openings.sized(this.wall, one, Number(corner), [at[0] + step[0], at[1] + step[1]], 0);
      this.put(made, corner === undefined ? "moved" : "sized", `opening ${opening} ${corner ?? ""}`);
    } else if (event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      this.take(one);
    } else if (event.key === "Escape") {
      this.dropped();
    }
  }

  put(one, words, merges = "") {
    this.store.edit(`${one.kind} ${one.id} ${words}`, openings.withOpening(this.store.document, this.ref, one), merges);
  }

  take(one) {
    if (this.store.edit(`${one.kind} ${one.id} taken out`, openings.withoutOpening(this.store.document, this.ref, one.id))) {
      this.box.querySelector("[data-key=opening-add]")?.focus();
    }
  }

  buttons() {
    const draw = html("button", { type: "button", "data-key": "opening-draw", "aria-pressed": String(this.isDrawing), onclick: () => {
      this.isDrawing = !this.isDrawing;
      this.sheet.classList.toggle("is-drawing", this.isDrawing);
      draw.setAttribute("aria-pressed", String(this.isDrawing));
      this.store.say(this.isDrawing ? "Drag a rectangle on the wall." : "Nothing is drawn on the wall.");
    } }, "Draw an opening");
    this.sheet.classList.toggle("is-drawing", this.isDrawing);
    const add = html("button", { type: "button", "data-key": "opening-add", onclick: () => this.put(openings.fresh(this.wall, this.store.document), "added") }, "Add a niche");
    return html("p", { class: "row" }, draw, add);
  }

  // Each opening by number: the same as a drag, to the millimetre.
  typed() {
    return (this.wall.openings ?? []).map((one) => {
      const said = html("p", { class: "fault", role: "status" });
      const id = (key) => `opening-${one.id}-${key}`;
      const kind = html("select", { id: id("kind"), "data-key": id("kind"), onchange: (event) => this.put({ ...one, kind: event.target.value }, "changed") },
        ...["niche", "window", "door"].map((word) => html("option", { selected: word === one.kind }, word)));
      const fields = Object.entries(LABELS).map(([key, label]) => html("p", { class: "ask" }, html("label", { for: id(key) }, label),
        html("input", { id: id(key), "data-key": id(key), autocomplete: "off", value: inField(one[key] ?? 0, "mm", this.store.units), onchange: (event) => this.read(one, key, event.target, said) })));
      return html("fieldset", { class: "opening-fields" }, html("legend", {}, `${one.kind} ${one.id}`),
        html("div", { class: "asks" }, html("p", { class: "ask" }, html("label", { for: id("kind") }, "What it is"), kind), ...fields), said,
        html("p", { class: "row" }, html("button", { type: "button", onclick: () => this.take(one) }, `Take ${one.id} out`)));
    });
  }

  async read(one, key, field, said) {
    const answer = await this.server.rows(["mm"], [[field.value.trim()]]).catch(() => null);
    const value = answer?.status === 200 ? answer.body.rows[0][0] : undefined;
    const words = value === undefined
      ? (answer ? faultsOf(answer)[0] : "No connection: type a plain number of millimetres.")
      : openings.faultOf(this.wall, { ...one, [key]: value });
    field.toggleAttribute("aria-invalid", Boolean(words));
    said.replaceChildren(words);
    if (!words) {
      const now = this.find(one.id);
      this.put({ ...(now ?? one), [key]: round(value) }, "changed");
    }
  }
}
