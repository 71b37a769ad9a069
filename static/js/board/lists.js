// The list of everything drawn, the figures, and what the engine found.

import { arrowStep } from "./keys.js";
import { html } from "./show.js";
import { KINDS, all, find, nameOf, refOf, section } from "./things.js";

export class Lists {
  constructor(store, tools) {
    Object.assign(this, { store, tools });
    this.things = document.getElementById("board-things");
    this.figures = document.getElementById("board-figures");
    this.findings = document.getElementById("board-findings");
    this.problems = document.getElementById("board-problems");
    store.on("document", () => this.drawThings());
    store.on("selection", () => this.mark());
    store.on("look", (seen) => this.drawLook(seen));
    store.on("faults", (faults) => this.drawFaults(faults));
    store.on("unseen", (words) => this.problems.replaceChildren(html("p", {}, words)));
    this.things.addEventListener("keydown", (event) => this.keyed(event));
    this.drawThings();
  }

  // Arrow keys on an entry move what is chosen, so that the list alone is enough.
  keyed(event) {
    const ref = event.target.dataset?.ref;
    const step = arrowStep(event, this.tools.snap.grid);
    if (!ref) {
      return;
    }
    if (step && this.store.selection.has(ref)) {
      event.preventDefault();
      const name = this.tools.name;
      this.tools.name = "choose";
      this.tools.nudge(...step);
      this.tools.name = name;
    } else if (event.key === "Delete") {
      event.preventDefault();
      this.store.select(this.store.selection.has(ref) ? [...this.store.selection] : [ref]);
      this.tools.remove();
    }
  }

  drawThings() {
    const held = this.things.contains(document.activeElement) ? document.activeElement.dataset.ref : "";
    const groups = new Map();
    for (const { ref, place, thing } of all(this.store.document)) {
      groups.set(place, [...(groups.get(place) ?? []), [ref, thing]]);
    }
    const entry = ([ref, thing], place) => html("li", {}, html("button", {
      type: "button", class: "entry", "data-ref": ref, "aria-pressed": "false",
      onclick: (event) => (event.shiftKey || event.ctrlKey || event.metaKey || this.tools.several ? this.store.toggle(ref) : this.store.select([ref])),
    }, place === "survey.outline" ? "Roof outline" : nameOf(place, thing)));
    this.things.replaceChildren(...[...groups].map(([place, found]) => {
      const word = KINDS[place].word;
      const choose = html("button", { type: "button", class: "plain small", onclick: () => this.store.select(found.map(([ref]) => ref)) }, `Choose ${found.length === 1 ? "it" : `all ${found.length}`}`);
      return html("section", { class: "group" }, html("h3", {}, word[0].toUpperCase() + word.slice(1), " ", choose), html("ul", {}, ...found.map((one) => entry(one, place))));
    }));
    this.mark();
    if (held) {
      this.things.querySelector(`[data-ref="${CSS.escape(held)}"]`)?.focus();
    }
  }

  mark() {
    for (const button of this.things.querySelectorAll("[data-ref]")) {
      button.setAttribute("aria-pressed", String(this.store.selection.has(button.dataset.ref)));
    }
  }

  drawLook({ tookMs }) {
    const { figures, findings } = this.store.look;
    this.figures.replaceChildren(...figures.flatMap(([word, value]) => [html("dt", {}, word), html("dd", {}, value)]));
    this.figures.dataset.tookMs = String(Math.round(tookMs));
    this.problems.replaceChildren();
    const count = (grade) => findings.filter((found) => found.grade === grade).length;
    document.getElementById("board-counts").textContent = `${count("stop")} to settle first, ${count("check")} to have checked, ${count("note")} to know.`;
    this.findings.replaceChildren(...findings.map((found) => {
      const ref = this.refOfPlace(found.place);
      const words = html("span", {}, html("strong", {}, `${found.grade} `), found.text);
      const where = ref ? html("button", { type: "button", class: "plain small", onclick: () => this.store.select([ref]) }, `Show ${found.place}`) : null;
      return html("li", { class: found.grade }, words, " ", where);
    }));
  }

  refOfPlace(place) {
    const found = Object.keys(KINDS).find((key) => key !== "survey.outline" && (section(this.store.document, key) ?? []).some((thing) => thing.id === place));
    return found ? refOf(found, place) : "";
  }

  // What the server cannot read: the words, and the way to the thing.
  drawFaults(faults) {
    const rows = faults.slice(0, 12).map((fault) => {
      const [, place, at] = /^(\w+\.\w+)\[(\d+)\]/.exec(fault.path) ?? [];
      const thing = place && KINDS[place] ? section(this.store.document, place)?.[Number(at)] : null;
      const ref = thing ? refOf(place, thing.id) : "";
      const way = ref && find(this.store.document, ref) ? html("button", { type: "button", class: "plain small", onclick: () => this.store.select([ref]) }, `Show ${thing.id}`) : null;
      return html("li", {}, `${fault.path ? `${fault.path}: ` : ""}${fault.wanted} `, way);
    });
    this.problems.replaceChildren(html("p", {}, html("strong", {}, "The drawing cannot be read yet.")), html("ul", {}, ...rows));
  }
}
