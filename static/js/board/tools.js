// What a press, a drag or a key at a place does: choosing and moving things, drawing new ones, measuring, trimming.

import { area, distance, nearestOnSide, round, sides } from "./geometry.js";
import * as edits from "./edits.js";
import { Refusal, drawThing, reshapeOutline } from "./fresh.js";
import { length } from "./show.js";
import { KINDS, anchorOf, all, find, placeOf, spotsOf } from "./things.js";

const CLOSE_PX = 14;

export class Tools {
  constructor(store, view, drawing, snap) {
    Object.assign(this, { store, view, drawing, snap });
    this.name = "choose"; // choose, pan, measure, trim, or a place of the job file: what is being drawn
    this.draft = [];
    this.cursor = null;
    this.values = {}; // by place: what the tool's panel says of fresh things
    this.missing = {}; // by place: words for what is still to be typed
    this.several = false;
    store.on("document", () => this.redraw());
  }

  get isDrawing() {
    return Boolean(KINDS[this.name]);
  }

  get shape() {
    return this.isDrawing ? KINDS[this.name].shape : this.name === "measure" ? "line" : "";
  }

  set(name) {
    this.name = name;
    this.draft = [];
    this.store.tell("tool");
    this.redraw();
    this.store.say(this.hint());
  }

  hint() {
    const hints = {
      choose: "Press a thing to choose it, drag it to move it. Arrow keys move what is chosen.",
      pan: "Drag to shift the view.",
      measure: "Press two spots to measure between them.",
      trim: "Press the edge to which the chosen things are cut.",
    };
    const shapes = {
      ring: "Press corner after corner, then the first again; or drag a rectangle; or type it.",
      box: "Press where its centre lies, or drag its outline; or type it.",
      line: "Press its start and its end; or type them.",
      spot: "Press where it lies; or type the place.",
    };
    return hints[this.name] ?? `${KINDS[this.name].word}: ${shapes[this.shape]}`;
  }

  redraw(why = "") {
    this.drawing.renderDraft({
      spots: this.preview ?? this.draft,
      isClosed: Boolean(this.preview) && this.shape !== "line",
      cross: this.cursor,
      why,
    });
  }

  // A spot as it is taken, with the cross shown there.
  point(spot, isExact = false) {
    const taken = isExact
      ? { spot: spot.map(round), why: "" }
      : this.snap.take(spot, { from: this.draft, place: this.name });
    this.cursor = taken.spot;
    this.redraw(taken.why);
    return taken.spot;
  }

  // One press of a drawing tool; `isExact` for the keyboard, whose spots are already meant.
  press(spot, isExact = false) {
    if (this.name === "trim") {
      this.trimAt(spot);
      return;
    }
    const at = this.point(spot, isExact);
    if (this.shape === "box" || this.shape === "spot") {
      this.place([at]);
      return;
    }
    const isBack = this.shape === "ring" && this.draft.length > 2 &&
      distance(this.draft[0], at) <= (isExact ? 1 : Math.min(CLOSE_PX * this.view.scale, 200));
    if (isBack) {
      this.finish();
      return;
    }
    this.draft = [...this.draft, at];
    if (this.shape === "line" && this.draft.length === 2) {
      this.finish();
      return;
    }
    this.redraw();
    this.store.say(`Corner ${this.draft.length} at ${this.words(at)}.`);
    this.store.tell("draft");
  }

  words(at) {
    return at.map((value) => length(value, this.store.units)).join(", ");
  }

  // A rectangle pulled from one spot to another.
  pulled(from, to) {
    if (this.shape === "line") {
      return [from, to];
    }
    const [left, right] = [Math.min(from[0], to[0]), Math.max(from[0], to[0])];
    const [low, high] = [Math.min(from[1], to[1]), Math.max(from[1], to[1])];
    return [[left, low], [right, low], [right, high], [left, high]];
  }

  drawPulled(from, to) {
    this.preview = null;
    if (this.shape !== "line" && (from[0] === to[0] || from[1] === to[1])) {
      this.store.say("That rectangle has no size; drag further, or press where its centre lies.");
      return;
    }
    if (this.shape === "box") {
      const [length_, width] = [Math.abs(to[0] - from[0]), Math.abs(to[1] - from[1])];
      const isTurned = width > length_;
      const size = isTurned ? { length: width, width: length_, angle: 90 } : { length: length_, width };
      this.place([[(from[0] + to[0]) / 2, (from[1] + to[1]) / 2]], size);
    } else if (this.shape === "line" && this.name === "measure") {
      this.measured(from, to);
    } else {
      this.place(this.pulled(from, to));
    }
  }

  finish() {
    const spots = this.draft;
    if (this.name === "measure" && spots.length === 2) {
      this.draft = [];
      this.measured(...spots);
    } else if (this.shape === "ring" && spots.length < 3) {
      this.store.say("An outline needs three corners at least.");
    } else if (spots.length) {
      this.draft = [];
      this.place(spots);
    }
  }

  back() {
    this.draft = this.draft.slice(0, -1);
    this.redraw();
    this.store.tell("draft");
  }

  cancel() {
    if (this.draft.length || this.preview) {
      this.draft = [];
      this.preview = null;
      this.redraw();
      this.store.tell("draft");
    } else if (this.name !== "choose") {
      this.set("choose");
    } else {
      this.store.select([]);
    }
  }

  // Draw a fresh thing; true when it was drawn.
  place(spots, size = {}) {
    const missing = this.missing[this.name];
    if (missing) {
      this.store.say(missing);
      this.store.tell("needs", this.name);
      this.redraw();
      return false;
    }
    const ordered = this.shape === "ring" && area(spots) < 0 ? [...spots].reverse() : spots;
    if (this.shape === "ring" && Math.abs(area(ordered)) < 1) {
      this.store.say("These corners enclose nothing.");
      return false;
    }
    try {
      const values = { ...(this.values[this.name] ?? {}), ...size };
      const [drawn, ref] = drawThing(this.store.document, this.name, ordered, values);
      if (this.store.edit(`${KINDS[this.name].word} drawn`, drawn)) {
        this.store.select([ref]);
        if (this.name === "survey.outline") {
          this.store.tell("fit");
        }
      }
      this.store.tell("draft");
      return true;
    } catch (refusal) {
      if (!(refusal instanceof Refusal)) {
        throw refusal;
      }
      this.store.say(refusal.message);
      return false;
    }
  }

  measured(a, b) {
    this.drawing.measures = [...this.drawing.measures, [a, b]];
    this.drawing.renderDimensions();
    this.redraw();
    const units = this.store.units;
    this.store.say(`${length(distance(a, b), units)}: ${length(Math.abs(b[0] - a[0]), units)} across, ${length(Math.abs(b[1] - a[1]), units)} up.`);
  }

  // Every edge that something can be cut to or set out along.
  edges() {
    return all(this.store.document).flatMap(({ ref, place, thing, kind }) => {
      if (kind.shape !== "ring" && kind.shape !== "line" && kind.shape !== "box") {
        return [];
      }
      const spots = spotsOf(place, thing, this.store.document);
      const pairs = kind.shape === "line" ? [spots] : sides(spots);
      return pairs.map((side, at) => ({ ref, name: `${kind.word} ${thing.id}, side ${at + 1}`, side }));
    });
  }

  trimAt(spot) {
    const near = this.edges()
      .filter(({ ref }) => !this.store.selection.has(ref))
      .map((edge) => ({ ...edge, off: distance(nearestOnSide(spot, ...edge.side), spot) }))
      .sort((a, b) => a.off - b.off)[0];
    if (!near || near.off > 20 * this.view.scale) {
      this.store.say("There is no edge here.");
      return;
    }
    this.trimTo(near.side);
  }

  trimTo(side) {
    const drawn = edits.trim(this.store.document, [...this.store.selection], ...side);
    if (drawn) {
      this.store.edit("cut to the edge", drawn);
    } else {
      this.store.say("That edge cuts none of what is chosen.");
    }
    if (this.name === "trim") {
      this.set("choose");
    }
  }

  // Arrow keys: what is chosen moves by a step, else the cross.
  nudge(dx, dy) {
    const refs = [...this.store.selection];
    if (this.name === "choose" && refs.length) {
      this.store.edit("moved", edits.move(this.store.document, refs, dx, dy), `nudge ${refs.join(" ")}`);
      return;
    }
    const [x, y] = this.cursor ?? this.snap.onGrid([this.drawing.extent()[0], this.drawing.extent()[1]]);
    this.point([x + dx, y + dy], true);
    this.store.say(this.words(this.cursor));
  }

  dragged(refs, from, to) {
    // The first thing's own spot snaps; the rest keep their place to it.
    const lead = refs[0];
    const anchor = anchorOf(placeOf(lead), find(this.store.document, lead), this.store.document);
    const meant = [anchor[0] + to[0] - from[0], anchor[1] + to[1] - from[1]];
    const taken = this.snap.take(meant, { but: new Set(refs), place: placeOf(lead) });
    return [taken.spot[0] - anchor[0], taken.spot[1] - anchor[1], taken.why];
  }

  moveBy(refs, dx, dy) {
    this.store.edit("moved", edits.move(this.store.document, refs, dx, dy));
  }

  // A handle put somewhere else; from the middle of a side a new corner is pulled.
  pulledTo(ref, handle, spot, isBetween) {
    return (isBetween ? edits.addCorner : edits.pull)(this.store.document, ref, handle, spot);
  }

  pull(ref, handle, spot, isBetween = false) {
    this.store.edit("reshaped", this.pulledTo(ref, handle, spot, isBetween));
  }

  // How a thing would lie with its handle there.
  reshaped(ref, handle, spot, isBetween) {
    const drawn = this.pulledTo(ref, handle, spot, isBetween);
    return { spots: spotsOf(placeOf(ref), find(drawn, ref), drawn), isClosed: KINDS[placeOf(ref)].shape !== "line" };
  }

  reshapeRoof(outline) {
    return reshapeOutline(this.store.document, outline);
  }

  remove() {
    const drawn = edits.remove(this.store.document, [...this.store.selection]);
    if (this.store.edit("deleted", drawn)) {
      this.store.select([]);
    } else {
      this.store.say("The roof outline and its edges are not deleted; draw the outline anew.");
    }
  }

  copy(dx = this.snap.grid, dy = -this.snap.grid) {
    const [drawn, made] = edits.copy(this.store.document, [...this.store.selection], dx, dy);
    if (made.length && this.store.edit(made.length === 1 ? "copied" : `${made.length} copied`, drawn)) {
      this.store.select(made);
    }
  }

  chooseWithin(a, b) {
    const [left, bottom] = [Math.min(a[0], b[0]), Math.min(a[1], b[1])];
    const [right, top] = [Math.max(a[0], b[0]), Math.max(a[1], b[1])];
    const refs = all(this.store.document)
      .filter(({ ref, kind }) => ref !== "survey.outline#roof" && kind.shape !== "side" && this.drawing.isShown(kind.layer))
      .filter(({ place, thing }) => spotsOf(place, thing, this.store.document)
        .every(([x, y]) => x >= left && x <= right && y >= bottom && y <= top))
      .map(({ ref }) => ref);
    this.store.select(refs);
    this.store.say(`${refs.length} chosen.`);
  }
}
