// The panel of what is chosen: its exact values, and every move by number.

import * as edits from "./edits.js";
import { Elevation } from "./elevation.js";
import { bounds } from "./geometry.js";
import { faultsOf } from "./server.js";
import { html, inField, length } from "./show.js";
import { KINDS, centreOf, find, idOf, placeOf, section, spotsOf, told } from "./things.js";

export class Chosen {
  constructor(store, server, tools) {
    Object.assign(this, { store, server, tools });
    this.panel = document.getElementById("board-chosen");
    this.moves = document.getElementById("board-moves");
    this.elevation = new Elevation(store, server, tools);
    this.drawMoves();
    store.on("selection document", () => this.draw());
    this.draw();
  }

  get refs() {
    return [...this.store.selection];
  }

  draw() {
    const held = document.activeElement?.dataset?.key;
    const isHere = this.panel.contains(document.activeElement);
    this.moves.hidden = !this.refs.length;
    this.fillEdges();
    if (!this.refs.length) {
      this.panel.replaceChildren(html("h2", {}, "Chosen"), html("p", { class: "soft" }, "Nothing is chosen. Press a thing on the drawing or in the list."));
      return;
    }
    const head = html("h2", {}, this.refs.length === 1 ? "Chosen" : `${this.refs.length} things chosen`);
    const parts = [head];
    if (this.refs.length === 1) {
      const [ref] = this.refs;
      const place = placeOf(ref);
      const thing = find(this.store.document, ref);
      parts.push(html("p", {}, told(place, thing)));
      parts.push(...(KINDS[place].shape === "ring" ? this.corners(ref, thing) : []), ...this.fields(ref, place, thing));
      if (KINDS[place].shape === "line") {
        parts.push(...this.ends(ref, thing));
      }
      if (place === "plan.feature_walls") {
        parts.push(this.elevation.part(ref, thing));
      }
    } else {
      parts.push(html("ul", {}, ...this.refs.map((ref) => html("li", {}, told(placeOf(ref), find(this.store.document, ref))))));
    }
    this.panel.replaceChildren(...parts);
    this.elevation.show();
    if (isHere && held) {
      this.panel.querySelector(`[data-key="${held}"]`)?.focus();
    }
  }

  fields(ref, place, thing) {
    const known = this.store.kinds[place]?.fields ?? [];
    const drawn = known.filter((field) => !["ticks"].includes(field.kind)).map((field) => this.field(ref, place, thing, field));
    return [html("div", { class: "asks" }, ...drawn)];
  }

  field(ref, place, thing, field) {
    const id = `chosen-${field.key}`;
    const value = thing[field.key];
    const common = { id, "data-key": field.key, "aria-describedby": `${id}-fault` };
    const change = (text) => this.take(ref, place, field.key, text);
    let control;
    if (field.kind === "tick") {
      const isOn = value ?? field.default === "yes";
      control = html("input", { ...common, type: "checkbox", checked: isOn, onchange: (event) => change(event.target.checked) });
    } else if (field.kind === "choice" || field.kind === "ref") {
      const found = field.kind === "choice" ? field.options : field.refs.flatMap((from) => (section(this.store.document, from) ?? []).map((one) => one.id));
      const options = field.is_needed ? found : ["", ...found];
      control = html("select", { ...common, onchange: (event) => change(event.target.value === "" ? "" : event.target.value) },
        ...options.map((option) => html("option", { value: option, selected: option === (value ?? (field.default || "")) }, option || "–")));
    } else {
      const shown = inField(value ?? (field.unit === "mm" && field.default ? Number(field.default) : field.default), field.unit, this.store.units);
      control = html("input", { ...common, value: shown, placeholder: null, autocomplete: "off", onchange: (event) => change(event.target.value.trim()) });
    }
    return html("p", { class: "ask" }, html("label", { for: id }, `${field.label}${field.unit && !(field.unit === "mm" && this.store.units === "imperial") ? `, ${field.unit}` : ""}`), control,
      html("span", { id: `${id}-fault`, class: "fault", role: "status" }));
  }

  async take(ref, place, key, text) {
    let value = text;
    if (typeof text === "string" && !/^-?\d+(\.\d+)?$/.test(text) || key === "id" || key === "name") {
      const answer = await this.server.values(place, { [key]: text }).catch(() => null);
      if (answer?.status !== 200) {
        this.fault(key, answer ? faultsOf(answer)[0] : "No connection: type a plain number.");
        return;
      }
      value = answer.body.values[key];
    } else if (typeof text === "string") {
      value = Number(text);
    }
    if (key === "id" && value !== idOf(ref) && section(this.store.document, place).some((thing) => thing.id === value)) {
      this.fault(key, `${value} is taken; give it another mark.`);
      return;
    }
    const drawn = edits.setValues(this.store.document, ref, { [key]: value });
    if (this.store.edit(`${key.replaceAll("_", " ")} changed`, drawn) && key === "id") {
      this.store.select([`${place}#${value}`]);
    }
  }

  fault(key, words) {
    const control = this.panel.querySelector(`[data-key="${key}"]`);
    control?.setAttribute("aria-invalid", "true");
    control?.parentElement.querySelector(".fault").replaceChildren(words);
  }

  // An outline's corners as text, changed all at once.
  corners(ref, thing) {
    const text = thing.outline.map((corner) => corner.map((value) => inField(value, "mm", this.store.units)).join(", ")).join("\n");
    const field = html("textarea", { id: "chosen-corners", "data-key": "corners", rows: Math.min(thing.outline.length, 8) }, text);
    const fault = html("span", { class: "fault", role: "status" });
    field.addEventListener("change", async () => {
      const rows = field.value.split(/[;\n]+/).map((row) => row.split(",").map((part) => part.trim()).filter(Boolean)).filter((row) => row.length);
      const answer = await this.server.rows(["mm", "mm"], rows).catch(() => null);
      if (answer?.status !== 200 || answer.body.rows.length < 3 || answer.body.rows.some((row) => row.length !== 2)) {
        fault.replaceChildren(answer && answer.status !== 200 ? faultsOf(answer).join(" ") : "Give three corners or more, each on a line of its own as x, y.");
        return;
      }
      const outline = answer.body.rows;
      const isRoof = ref === "survey.outline#roof" && outline.length !== thing.outline.length;
      const drawn = isRoof ? this.tools.reshapeRoof(outline) : edits.setValues(this.store.document, ref, { outline });
      this.store.edit("corners changed", drawn);
    });
    return [html("p", { class: "ask wide" }, html("label", { for: "chosen-corners" }, "Corners, one on a line: x, y"), field, fault)];
  }

  ends(ref, thing) {
    return ["start", "end"].map((key) => {
      const id = `chosen-${key}`;
      const fault = html("span", { class: "fault", role: "status" });
      const field = html("input", { id, "data-key": key, autocomplete: "off", value: thing[key].map((value) => inField(value, "mm", this.store.units)).join(", ") });
      field.addEventListener("change", async () => {
        const answer = await this.server.rows(["mm", "mm"], [field.value.split(",").map((part) => part.trim())]).catch(() => null);
        const spot = answer?.status === 200 ? answer.body.rows[0] : [];
        if (spot.length !== 2) {
          fault.replaceChildren(answer && answer.status !== 200 ? faultsOf(answer)[0] : "Give x, y.");
          return;
        }
        this.store.edit(`${key} moved`, edits.setValues(this.store.document, ref, { [key]: spot }));
      });
      return html("p", { class: "ask" }, html("label", { for: id }, `${key === "start" ? "Start" : "End"}: x, y`), field, fault);
    });
  }

  // Every move by number, so that nothing needs a drag.
  drawMoves() {
    const field = (id, label, value) => html("p", { class: "ask" }, html("label", { for: id }, label), html("input", { id, value, autocomplete: "off" }));
    const button = (words, press) => html("button", { type: "button", onclick: press }, words);
    this.said = html("p", { class: "fault", role: "status" });
    this.edge = html("select", { id: "move-edge" });
    this.moves.replaceChildren(
      html("h3", {}, "Move, copy, turn"),
      html("div", { class: "asks" }, field("move-by", "By x, y", "100, 0"), field("move-angle", "By an angle, degrees", "90"), field("move-count", "How many more", "2"), field("move-step", "Step from one to the next", "1000"),
        html("p", { class: "ask" }, html("label", { for: "move-edge" }, "Edge"), this.edge)),
      html("p", { class: "row" },
        button("Move by x, y", () => this.by((dx, dy) => this.tools.moveBy(this.refs, dx, dy))),
        button("Copy by x, y", () => this.by((dx, dy) => this.tools.copy(dx, dy))),
        button("Turn", () => this.turn()),
        button("Mirror left to right", () => this.mirror([0, 1])),
        button("Mirror top to bottom", () => this.mirror([1, 0])),
        button("Mirror in the edge", () => this.mirrorEdge()),
        button("Set out along the edge", () => this.array()),
        button("Cut to the edge", () => this.tools.trimTo(this.side())),
        button("Cut to an edge I press", () => this.tools.set("trim"))),
      this.said);
  }

  fillEdges() {
    const kept = this.edge?.value;
    this.options = this.tools.edges().filter(({ ref }) => !this.store.selection.has(ref));
    this.edge?.replaceChildren(...this.options.map(({ name, side }, at) => html("option", { value: name, selected: name === kept }, `${name} (${length(Math.hypot(side[1][0] - side[0][0], side[1][1] - side[0][1]), this.store.units)})`)));
  }

  side() {
    return (this.options.find(({ name }) => name === this.edge.value) ?? this.options[0]).side;
  }

  async read(id, columns) {
    const text = document.getElementById(id).value;
    const answer = await this.server.rows(columns, [text.split(",").map((part) => part.trim())]).catch(() => null);
    const row = answer?.status === 200 ? answer.body.rows[0] : [];
    if (row.length !== columns.length) {
      this.said.replaceChildren(answer && answer.status !== 200 ? faultsOf(answer)[0] : "That could not be read.");
      return null;
    }
    this.said.replaceChildren();
    return row;
  }

  async by(act) {
    const row = await this.read("move-by", ["mm", "mm"]);
    if (row) {
      act(...row);
    }
  }

  async turn() {
    const row = await this.read("move-angle", ["deg"]);
    if (row) {
      this.store.edit("turned", edits.turn(this.store.document, this.refs, row[0]));
    }
  }

  mirror([ux, uy]) {
    const [x, y] = centreOf(this.store.document, this.refs);
    this.store.edit("mirrored", edits.mirror(this.store.document, this.refs, [x, y], [x + ux, y + uy]));
  }

  mirrorEdge() {
    this.store.edit("mirrored in the edge", edits.mirror(this.store.document, this.refs, ...this.side()));
  }

  async array() {
    const step = await this.read("move-step", ["mm"]);
    const count = Number(document.getElementById("move-count").value);
    if (!Number.isInteger(count) || count < 1 || count > 200) {
      this.said.replaceChildren("How many more: a whole number from 1 to 200.");
      return;
    }
    if (step) {
      const [drawn, made] = edits.array(this.store.document, this.refs, count, step[0], ...this.side());
      if (this.store.edit(`${made.length} set out along the edge`, drawn)) {
        this.store.select([...this.refs, ...made]);
      }
    }
  }

  extent() {
    return bounds(this.refs.flatMap((ref) => spotsOf(placeOf(ref), find(this.store.document, ref), this.store.document)));
  }
}
