// What lies round the drawing: layers, snapping, materials, drawings brought in.

import { path } from "./geometry.js";
import { faultsOf } from "./server.js";
import { html, length, svg } from "./show.js";
import { LAYERS } from "./drawing.js";

const SNAPS = [["corner", "Corners"], ["edge", "Edges"], ["square", "Parallel and square"], ["gap", "Equal gaps"], ["board", "Board lines"], ["grid", "Grid"]];
const GRIDS = { metric: [10, 50, 100, 500], imperial: [12.7, 25.4, 76.2, 152.4, 304.8] };

export class Sheet {
  constructor(store, server, tools, drawing) {
    Object.assign(this, { store, server, tools, drawing });
    this.drawLayers();
    this.drawSnaps();
    this.drawDxf();
  }

  tick(id, words, isOn, change) {
    return html("label", { class: "tick", for: id }, html("input", { id, type: "checkbox", checked: isOn, onchange: (event) => change(event.target.checked) }), ` ${words}`);
  }

  drawLayers() {
    document.getElementById("board-layers").replaceChildren(...LAYERS.map(([name, words]) =>
      this.tick(`layer-${name}`, words, this.drawing.isShown(name), (isOn) => this.drawing.show(name, isOn))));
  }

  drawSnaps() {
    const { snap } = this.tools;
    const grids = GRIDS[this.store.units];
    snap.grid = grids.includes(snap.grid) ? snap.grid : grids[2];
    const choose = html("select", { id: "board-grid", onchange: (event) => { snap.grid = Number(event.target.value); } },
      ...grids.map((step) => html("option", { value: step, selected: step === snap.grid }, length(step, this.store.units))));
    document.getElementById("board-snaps").replaceChildren(
      ...SNAPS.map(([name, words]) => this.tick(`snap-${name}`, words, snap.uses[name], (isOn) => { snap.uses[name] = isOn; })),
      html("p", { class: "ask" }, html("label", { for: "board-grid" }, "Grid and arrow step"), choose));
  }

  // A job that has no materials yet takes those of another.
  offerMaterials(materials) {
    const box = document.getElementById("board-materials");
    const hasSome = (this.store.document.choices.boards ?? []).length > 0;
    box.hidden = hasSome || !materials.length;
    if (box.hidden) {
      return;
    }
    const choose = html("select", { id: "materials-of" }, ...materials.map(({ id, name }) => html("option", { value: id }, name)));
    const take = async () => {
      const answer = await this.server.materials(choose.value).catch(() => null);
      if (answer?.status === 200) {
        this.store.edit("materials taken over", { ...this.store.document, choices: answer.body });
        box.hidden = true;
      } else {
        this.store.say("The materials could not be read; try again.");
      }
    };
    box.replaceChildren(html("p", {}, "This job has no boards, timber or pads yet: nothing can be built of it."),
      html("p", { class: "row" }, html("label", { for: "materials-of" }, "Materials of "), choose, html("button", { type: "button", onclick: take }, "Take these materials")));
  }

  // A DXF brought in: its closed outlines are shown first, and used only when somebody says for what.
  drawDxf() {
    const file = html("input", { id: "dxf-file", type: "file", accept: ".dxf" });
    const unit = html("select", { id: "dxf-unit" }, ...[["", "as the file says"], ["mm", "millimetres"], ["m", "metres"], ["in", "inches"], ["ft", "feet"]].map(([value, words]) => html("option", { value }, words)));
    const found = html("div", { role: "status" });
    const read = async () => {
      const [chosen] = file.files;
      if (!chosen) {
        return;
      }
      const text = await chosen.text();
      const answer = await this.server.dxf(text, unit.value).catch(() => null);
      if (answer?.status !== 200) {
        found.replaceChildren(html("p", { class: "fault" }, answer ? faultsOf(answer).join(" ") : "No connection: a drawing is read by the server."));
        return;
      }
      this.previewDxf(answer.body, found);
    };
    file.addEventListener("change", read);
    unit.addEventListener("change", read);
    document.getElementById("board-dxf").replaceChildren(
      html("p", { class: "ask" }, html("label", { for: "dxf-file" }, "Outlines from a DXF"), file),
      html("p", { class: "ask" }, html("label", { for: "dxf-unit" }, "Its unit"), unit), found);
  }

  previewDxf({ outlines, notes }, box) {
    const show = (outline) => {
      this.drawing.layers.draft.replaceChildren(...outlines.map((one) => svg("path", { d: path(one.corners), class: one === outline ? "draft" : "draft faint" })));
    };
    const use = (outline, place) => {
      this.tools.set(place);
      this.tools.place(outline.corners);
      box.replaceChildren();
    };
    show(outlines[0]);
    box.replaceChildren(...notes.map((words) => html("p", { class: "small" }, words)), html("ul", {}, ...outlines.map((one) => html("li", {},
      `${one.layer}: ${one.corners.length} corners, ${one.area_text} `,
      html("button", { type: "button", class: "plain small", onclick: () => show(one) }, "Show"),
      html("button", { type: "button", class: "plain small", onclick: () => use(one, "survey.outline") }, "Use as the roof"),
      html("button", { type: "button", class: "plain small", onclick: () => use(one, "plan.deck_fields") }, "Use as a deck field")))));
  }
}
