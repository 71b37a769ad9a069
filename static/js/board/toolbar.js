// The row of tools, and the panel of the tool in hand: what it asks, and everything a drag can do, typed.

import { faultsOf } from "./server.js";
import { ASKED } from "./fresh.js";
import { html, readHere } from "./show.js";
import { KINDS } from "./things.js";

const GROUPS = [
  ["Hand", [["choose", "Choose"], ["pan", "Shift"], ["measure", "Measure"]]],
  ["Survey", ["survey.outline", "survey.holes", "survey.spot_heights", "survey.zones", "survey.folds", "survey.drains", "survey.penetrations", "survey.doors"]],
  ["Plan", ["plan.deck_fields", "plan.holes", "plan.stone_beds", "plan.planters", "plan.benches", "plan.counters", "plan.feature_walls", "plan.steps", "plan.furniture"]],
  ["Services", ["survey.power_points", "survey.gas_points", "survey.water_points", "survey.neighbours", "plan.transformers", "plan.amplifiers", "plan.fixtures", "plan.outlets", "plan.speakers", "plan.gas_stubs"]],
];
const COLUMNS = { box: ["mm", "mm", "mm", "mm", "mm", "deg"], line: ["mm", "mm", "mm", "mm"], spot: ["mm", "mm", "mm"], ring: ["mm", "mm"] };
const WANTED = {
  box: ["Place: x, y, length, width, height, angle", "Two are enough: the rest stays as above. Parted by commas; the next one after a semicolon."],
  line: ["From x, y to x, y", "Four lengths parted by commas; the next one after a semicolon."],
  spot: ["Place: x, y, z", "Two are enough where z is known. Parted by commas; the next one after a semicolon."],
  ring: ["Corners: x, y; x, y; …", "Two corners make a rectangle."],
};

const capital = (word) => word[0].toUpperCase() + word.slice(1);

export class Toolbar {
  constructor(store, server, tools) {
    Object.assign(this, { store, server, tools });
    this.bar = document.getElementById("board-tools");
    this.panel = document.getElementById("board-tool");
    this.drawBar();
    store.on("tool draft", () => this.refresh());
    store.on("needs", () => this.panel.querySelector("[data-asked][aria-invalid]")?.focus());
    this.refresh();
  }

  drawBar() {
    const button = (name, words) => html("button", { type: "button", class: "tool", "data-tool": name, "aria-pressed": "false", onclick: () => this.tools.set(name) }, words);
    this.bar.replaceChildren(...GROUPS.map(([word, names]) =>
      html("div", { class: "tool-group", role: "group", "aria-label": word },
        html("span", { class: "tool-head", "aria-hidden": "true" }, word),
        ...names.map((name) => (Array.isArray(name) ? button(...name) : button(name, capital(KINDS[name].word)))))));
  }

  refresh() {
    for (const button of this.bar.querySelectorAll("[data-tool]")) {
      button.setAttribute("aria-pressed", String(button.dataset.tool === this.tools.name));
    }
    if (this.drawn !== this.tools.name) {
      this.drawn = this.tools.name;
      this.draw();
    }
    const isOpen = this.tools.shape === "ring" && this.tools.draft.length > 0;
    this.finish?.toggleAttribute("hidden", !isOpen);
  }

  draw() {
    const { tools } = this;
    const head = html("h2", {}, tools.isDrawing ? `Draw: ${KINDS[tools.name].word}` : "Tool");
    const parts = [head, html("p", { class: "small" }, tools.hint())];
    this.finish = null;
    if (tools.isDrawing) {
      parts.push(...this.asked(tools.name));
      if (tools.shape === "ring") {
        this.finish = html("p", { hidden: true, class: "row" },
          html("button", { type: "button", onclick: () => tools.finish() }, "Close the outline"),
          html("button", { type: "button", class: "plain", onclick: () => tools.back() }, "Take the last corner back"));
        parts.push(this.finish, this.walk());
      }
      parts.push(this.typed(tools.shape));
    }
    this.panel.replaceChildren(...parts);
  }

  // The values of fresh things, read as soon as they are typed.
  asked(place) {
    const first = ASKED[place] ?? {};
    const known = this.store.kinds[place]?.fields ?? [];
    this.tools.values[place] ??= {};
    this.texts ??= {};
    this.texts[place] ??= { ...first };
    this.tools.missing[place] = this.missing(place);
    return Object.keys(first).map((key) => {
      const field = known.find((one) => one.key === key) ?? { label: key, unit: "", kind: "quantity", options: [] };
      const text = this.texts[place][key];
      this.take(place, key, text, field);
      const id = `ask-${place.replace(".", "-")}-${key}`;
      const invalid = { "aria-invalid": text === "" ? "true" : null, "data-asked": key };
      const control = field.kind === "choice"
        ? html("select", { id, onchange: (event) => this.take(place, key, event.target.value, field) },
          ...field.options.map((option) => html("option", { selected: option === text }, option)))
        : html("input", { id, value: text, autocomplete: "off", ...invalid, onchange: (event) => this.take(place, key, event.target.value.trim(), field, event.target) });
      return html("p", { class: "ask" }, html("label", { for: id }, `${field.label}${field.unit ? `, ${field.unit}` : ""}`), control, html("span", { class: "fault", role: "status" }));
    });
  }

  missing(place) {
    const empty = Object.entries(this.texts[place]).find(([, text]) => text === "");
    if (!empty) {
      return "";
    }
    const label = this.store.kinds[place]?.fields.find((field) => field.key === empty[0])?.label ?? empty[0];
    return `Type ${label} first, in the panel of the tool.`;
  }

  async take(place, key, text, field, control) {
    this.texts[place][key] = text;
    this.tools.missing[place] = this.missing(place);
    const fault = control?.parentElement.querySelector(".fault");
    control?.setAttribute("aria-invalid", String(text === ""));
    if (text === "") {
      return;
    }
    if (field.kind === "choice" || /^-?\d+(\.\d+)?$/.test(text)) {
      this.tools.values[place][key] = field.kind === "choice" ? text : Number(text);
      fault?.replaceChildren();
      return;
    }
    this.tools.missing[place] = "One moment: what you typed is being read.";
    const answer = await this.server.values(place, { [key]: text }).catch(() => null);
    if (answer?.status === 200) {
      this.tools.values[place][key] = answer.body.values[key];
      this.tools.missing[place] = this.missing(place);
      fault?.replaceChildren();
    } else {
      const words = answer ? faultsOf(answer)[0] : "No connection: type a plain number of millimetres.";
      this.tools.missing[place] = words;
      control?.setAttribute("aria-invalid", "true");
      fault?.replaceChildren(words);
    }
  }

  // Every place typed: one thing to a row.
  typed(shape) {
    const [label, hint] = WANTED[shape];
    const field = html("input", { id: "typed-place", autocomplete: "off", "aria-describedby": "typed-hint" });
    const fault = html("p", { class: "fault", role: "status" });
    const draw = async (event) => {
      readHere(event);
      const rows = field.value.split(/[;\n]+/).map((row) => row.split(",").map((text) => text.trim()).filter(Boolean)).filter((row) => row.length);
      const answer = await this.server.rows(COLUMNS[shape], rows).catch(() => null);
      const words = answer?.status === 200 ? this.drawRows(shape, answer.body.rows) : answer ? faultsOf(answer).join(" ") : "No connection: type plain numbers of millimetres.";
      fault.replaceChildren(words);
      field.toggleAttribute("aria-invalid", Boolean(words));
      if (!words) {
        field.value = "";
      }
    };
    return html("form", { class: "typed", onsubmit: draw }, html("label", { for: "typed-place" }, label), html("span", { id: "typed-hint", class: "small soft" }, hint), field, html("button", {}, "Draw it"), fault);
  }

  // Draws them all, or says what is wrong with the first that cannot be drawn.
  drawRows(shape, rows) {
    const { tools } = this;
    if (shape === "ring") {
      if (rows.length < 2 || rows.some((row) => row.length !== 2)) {
        return "Give two corners or more, each as x, y.";
      }
      return tools.place(rows.length === 2 ? tools.pulled(...rows) : rows) ? "" : "These corners make no outline.";
    }
    if (!rows.length || rows.some((row) => row.length < (shape === "line" ? 4 : 2))) {
      return shape === "line" ? "Give x, y of both ends." : "Give x and y.";
    }
    for (const row of rows) {
      if (shape === "line") {
        tools.place([row.slice(0, 2), row.slice(2)]);
        continue;
      }
      const keys = shape === "box" ? ["length", "width", "height", "angle"] : ["z"];
      const said = row.slice(2).map((value, at) => [keys[at], value]);
      const missing = tools.missing[tools.name];
      if (said.some(([key]) => key === "z") && this.texts[tools.name]?.z === "") {
        tools.missing[tools.name] = "";
      }
      const isDrawn = tools.place([row.slice(0, 2)], Object.fromEntries(said));
      tools.missing[tools.name] = missing;
      if (!isDrawn) {
        return document.getElementById("board-said").textContent || "That could not be drawn.";
      }
    }
    return "";
  }

  // A walk called out; what it does not close by is shown, and spread or refused.
  walk() {
    const text = html("textarea", { id: "walk-text", rows: "3", "aria-describedby": "walk-hint" });
    const start = html("input", { id: "walk-start", value: "0, 0", autocomplete: "off" });
    const answerBox = html("div", { class: "walk-answer", role: "status" });
    const draw = async (event) => {
      readHere(event);
      const answer = await this.server.walk(text.value, start.value.split(",").map((part) => part.trim())).catch(() => null);
      if (answer?.status !== 200) {
        answerBox.replaceChildren(html("p", { class: "fault" }, answer ? faultsOf(answer).join(" ") : "No connection: a walk is read by the server."));
        return;
      }
      const walked = answer.body;
      if (walked.is_closed) {
        answerBox.replaceChildren();
        this.tools.place(walked.corners.slice(0, -1));
        return;
      }
      this.askClosing(walked, answerBox);
    };
    return html("form", { class: "typed", onsubmit: draw },
      html("label", { for: "walk-text" }, "Walk round it"),
      html("span", { id: "walk-hint", class: "small soft" }, "Such as 24' 6 east, 3' south, 7.3 m w. East is to the right of the sheet, north is up."), text,
      html("label", { for: "walk-start" }, "Starting at x, y"), start, html("button", {}, "Draw the walk"), answerBox);
  }

  askClosing(walked, box) {
    const words = `The walk ends ${walked.closing_text} from where it began (${(walked.of_way * 100).toFixed(1)} % of its length).`;
    const take = (corners) => {
      box.replaceChildren();
      this.tools.place(corners);
    };
    const refuse = () => {
      box.replaceChildren();
      this.store.say("Nothing was drawn. Measure again and call the walk anew.");
    };
    this.tools.drawing.renderDraft({ spots: walked.corners });
    box.replaceChildren(html("p", {}, words), html("p", { class: "row" },
      html("button", { type: "button", onclick: () => take(walked.spread) }, "Spread the error"),
      html("button", { type: "button", onclick: () => take(walked.corners) }, "Close with one more side"),
      html("button", { type: "button", class: "plain", onclick: refuse }, "Refuse it")));
    box.querySelector("button").focus();
  }
}
