// The drawing: every thing of the job file as SVG, the answer of the engine beneath, marks and handles above.

import { area, bounds, centre, distance, holds, middle, path, sides } from "./geometry.js";
import { isHole } from "./holes.js";
import { length, svg } from "./show.js";
import { KINDS, all, anchorOf, find, nameOf, placeOf, spotsOf, told } from "./things.js";

export const LAYERS = [
  ["roof", "Roof"],
  ["boards", "Boards"],
  ["frame", "Frame and pads"],
  ["decks", "Deck fields"],
  ["standing", "Beds, boxes, walls"],
  ["heights", "Spot heights"],
  ["services", "Services"],
  ["runs", "Runs"],
  ["findings", "Findings"],
  ["dimensions", "Dimensions"],
];
const OFF_AT_FIRST = new Set(["frame", "runs"]);
const SYMBOL_MM = 65;
const MOST_NAMED = 400;
const FAR_MM_PER_PX = 10; // from further away lights and outlets stand too close for their names

// Every side of an outline with how far off, and to which hand, its dimension stands.
const outside = (ring, offPx) => sides(ring).map((side) => [...side, area(ring) > 0 ? offPx : -offPx]);

export class Drawing {
  constructor(store, view) {
    this.store = store;
    this.view = view;
    this.nodes = new Map();
    this.root = svg("g", { class: "board-root" });
    this.layers = {};
    for (const name of ["picture", ...LAYERS.map(([key]) => key), "draft", "handles"]) {
      this.layers[name] = svg("g", { class: `board-${name}` });
      this.root.append(this.layers[name]);
    }
    OFF_AT_FIRST.forEach((name) => this.show(name, false));
    view.svg.append(this.root);
    this.measures = [];
    store.on("document", () => this.render());
    store.on("selection", () => this.renderSelection());
    store.on("look", () => this.renderLook());
    view.addEventListener("scale", () => this.rescale());
  }

  show(name, isShown) {
    this.layers[name].classList.toggle("is-off", !isShown);
  }

  isShown(name) {
    return !this.layers[name].classList.contains("is-off");
  }

  extent() {
    const { survey } = this.store.document;
    return bounds(survey.outline?.length ? survey.outline : [[0, 0], [6000, 4000]]);
  }

  // Only what changed is drawn anew.
  render() {
    const seen = new Set();
    const document = this.store.document;
    const ring = document.survey.outline;
    for (const { ref, place, kind, thing } of all(document)) {
      seen.add(ref);
      const old = this.nodes.get(ref);
      const isRoofAsWas = ref === "survey.outline#roof" && old?.ring === ring && old.holes === document.survey.holes;
      if (old && (old.thing === thing || isRoofAsWas) && (kind.shape !== "side" || old.ring === ring)) {
        continue;
      }
      const node = this.node(ref, place, thing);
      old ? old.node.replaceWith(node) : this.layers[kind.layer].append(node);
      this.nodes.set(ref, { node, thing, ring, holes: document.survey.holes });
    }
    for (const [ref, { node }] of this.nodes) {
      if (!seen.has(ref)) {
        node.remove();
        this.nodes.delete(ref);
      }
    }
    this.rescale();
    this.renderSelection();
  }

  node(ref, place, thing) {
    const kind = KINDS[place];
    const group = svg("g", { class: `thing ${kind.stem}`, "data-ref": ref, role: "img", "aria-label": told(place, thing) });
    const spots = spotsOf(place, thing, this.store.document);
    if (kind.shape === "ring" || kind.shape === "box") {
      const holes = place === "survey.outline" ? this.store.document.survey.holes ?? [] : thing.holes ?? [];
      group.append(svg("path", { d: [spots, ...holes].map((ring) => path(ring)).join(" "), "fill-rule": "evenodd", class: "body" }));
    } else if (kind.shape === "line" || kind.shape === "side") {
      group.append(svg("path", { d: path(spots, false), class: "grasp" }), svg("path", { d: path(spots, false), class: `body ${thing.kind ?? ""}` }));
    } else {
      group.append(svg("circle", { cx: thing.x, cy: -thing.y, r: SYMBOL_MM * 1.6, class: "grasp" }), this.symbol(place, thing));
    }
    if (isHole(place) && spots.length === 4) { // an opening is crossed out
      group.append(svg("path", { d: path([spots[0], spots[2]], false) + path([spots[1], spots[3]], false), class: "faint" }));
    }
    const label = this.label(place, thing, spots);
    if (label) {
      group.append(label);
    }
    return group;
  }

  symbol(place, thing) {
    const [x, y, s] = [thing.x, -thing.y, SYMBOL_MM];
    const square = `M${x - s} ${y - s}h${2 * s}v${2 * s}h${-2 * s}Z`;
    switch (place) {
      case "survey.drains":
        return svg("circle", { cx: x, cy: y, r: (thing.diameter ?? 100) / 2, class: "body" });
      case "survey.penetrations":
        return thing.shape === "round"
          ? svg("circle", { cx: x, cy: y, r: thing.width / 2, class: "body" })
          : svg("rect", { x: x - thing.width / 2, y: y - (thing.depth ?? thing.width) / 2, width: thing.width, height: thing.depth ?? thing.width, class: "body" });
      case "survey.doors":
        return svg("path", { d: this.doorway(thing), class: "body" });
      case "survey.spot_heights":
        return svg("path", { d: `M${x - s * 0.7} ${y}h${s * 1.4}M${x} ${y - s * 0.7}v${s * 1.4}`, class: "body" });
      case "plan.fixtures":
        return svg("path", { d: `M${x - s} ${y}a${s} ${s} 0 1 0 ${2 * s} 0a${s} ${s} 0 1 0 ${-2 * s} 0M${x - s} ${y}h${2 * s}M${x} ${y - s}v${2 * s}`, class: "body" });
      case "plan.speakers":
        return svg("path", { d: `M${x - s} ${y + s}h${2 * s}L${x} ${y - s}Z`, class: "body" });
      case "plan.gas_stubs":
      case "survey.gas_points":
        return svg("path", { d: `M${x} ${y - s}L${x + s} ${y}L${x} ${y + s}L${x - s} ${y}Z`, class: "body" });
      case "plan.outlets":
        return svg("path", { d: `${square}M${x - s / 2} ${y}h${s}`, class: "body" });
      default:
        return svg("path", { d: square, class: "body solid" });
    }
  }

  // A door lies along the side of the roof it is nearest to.
  doorway(door) {
    const at = [door.x, door.y];
    const ring = this.store.document.survey.outline;
    const off = ([a, b]) => distance(middle(a, b), at) + Math.abs(distance(a, at) + distance(b, at) - distance(a, b)) * 10;
    const [a, b] = sides(ring).reduce((best, side) => (off(side) < off(best) ? side : best));
    const long = distance(a, b) || 1;
    const [ux, uy] = [((b[0] - a[0]) / long) * (door.width / 2), ((b[1] - a[1]) / long) * (door.width / 2)];
    return path([[at[0] - ux, at[1] - uy], [at[0] + ux, at[1] + uy]], false);
  }

  label(place, thing, spots) {
    const shape = KINDS[place].shape;
    if (place === "survey.outline" || shape === "side" || isHole(place)) {
      return null;
    }
    const words = place === "survey.spot_heights" ? String(thing.z) : nameOf(place, thing);
    const text = (x, y, anchor) => svg("text", { x, y, class: "name", "text-anchor": anchor }, words);
    if (shape === "spot") {
      return text(thing.x + SYMBOL_MM * 1.4, -thing.y - SYMBOL_MM, "start");
    }
    if (place === "plan.deck_fields") { // in its own corner, clear of what stands on it
      const [left, , , top] = bounds(spots);
      return text(left + 90, -top + 260, "start");
    }
    const at = shape === "ring" && !holds(spots, centre(spots)) ? middle(spots[0], spots[2]) : centre(spots);
    return text(at[0], -at[1], "middle");
  }

  // Letters, handles and lines keep their size on the screen.
  rescale() {
    const scale = this.view.scale;
    this.root.setAttribute("font-size", String(Math.max(11 * scale, 1)));
    this.root.classList.toggle("is-small", scale > 16);
    this.root.classList.toggle("is-far", scale > FAR_MM_PER_PX);
    this.renderHandles();
    this.renderDimensions();
    this.renderFindings();
  }

  renderSelection() {
    for (const [ref, { node }] of this.nodes) {
      node.classList.toggle("is-chosen", this.store.selection.has(ref));
    }
    this.renderHandles();
    this.renderDimensions();
  }

  renderHandles() {
    const handles = [];
    if (this.store.selection.size === 1) {
      const [ref] = this.store.selection;
      const place = placeOf(ref);
      const thing = find(this.store.document, ref);
      const shape = KINDS[place].shape;
      if (thing && shape !== "side" && shape !== "spot") {
        const radius = this.view.scale * (matchMedia("(pointer: coarse)").matches ? 22 : 7);
        spotsOf(place, thing, this.store.document).forEach(([x, y], at) => {
          handles.push(svg("circle", { cx: x, cy: -y, r: radius, class: "handle", "data-handle": at }));
        });
        if (shape === "ring") { // from the middle of a side a new corner is pulled
          sides(thing.outline).forEach(([a, b], at) => {
            const [x, y] = middle(a, b);
            if (distance(a, b) > radius * 6) {
              handles.unshift(svg("rect", { x: x - radius * 0.6, y: -y - radius * 0.6, width: radius * 1.2, height: radius * 1.2, class: "handle between", "data-handle": at, "data-between": "yes" }));
            }
          });
        }
      }
    }
    this.layers.handles.replaceChildren(...handles);
  }

  // The roof's sides, those of the one thing chosen, and what was measured by hand.
  renderDimensions() {
    const document = this.store.document;
    const strings = (document.survey.outline ?? []).length ? outside(document.survey.outline, 26) : [];
    if (this.store.selection.size === 1) {
      const [ref] = this.store.selection;
      const thing = find(document, ref);
      const shape = KINDS[placeOf(ref)].shape;
      if (thing && ref !== "survey.outline#roof" && (shape === "ring" || shape === "box")) {
        strings.push(...outside(spotsOf(placeOf(ref), thing, document), 14));
      } else if (thing && shape === "line") {
        strings.push([thing.start, thing.end, 14]);
      } else if (thing) {
        strings.push(...this.offsets(anchorOf(placeOf(ref), thing, document)));
      }
    }
    strings.push(...this.measures.map((pair) => [...pair, 0]));
    this.layers.dimensions.replaceChildren(...strings.map(([a, b, off]) => this.dimension(a, b, off)).filter(Boolean));
  }

  // How far a spot is from the roof's left and lower edge of its box.
  offsets([x, y]) {
    const [left, bottom] = this.extent();
    return [[[left, y], [x, y], 0], [[x, bottom], [x, y], 0]];
  }

  dimension(a, b, offPx) {
    const long = distance(a, b);
    if (long < this.view.scale * 24) {
      return null;
    }
    const [ux, uy] = [(b[0] - a[0]) / long, (b[1] - a[1]) / long];
    const off = -offPx * this.view.scale; // outside of an outline that turns anticlockwise
    const [p, q] = [a, b].map(([x, y]) => [x - uy * off, y + ux * off]);
    const tick = this.view.scale * 4;
    const marks = [p, q].map(([x, y]) => path([[x - (ux - uy) * tick, y - (uy + ux) * tick], [x + (ux - uy) * tick, y + (uy + ux) * tick]], false));
    let turn = (-Math.atan2(uy, ux) * 180) / Math.PI;
    turn = turn > 90 ? turn - 180 : turn <= -90 ? turn + 180 : turn;
    const [mx, my] = middle(p, q);
    return svg("g", { class: "dimension", "aria-hidden": "true" },
      svg("path", { d: path([p, q], false) + marks.join("") }),
      svg("text", { x: mx, y: -my, dy: "-0.35em", "text-anchor": "middle", transform: `rotate(${turn} ${mx} ${-my})` }, length(long, this.store.units)));
  }

  renderLook() {
    const look = this.store.look;
    const draw = (rows, word, isNamed) => rows.map(([id, role, d]) => {
      const line = svg("path", { d, class: role.replaceAll(" ", "-").replace(/,.*/, "") });
      if (isNamed) {
        line.append(svg("title", {}, `${word}${id} ${role}`.trim()));
      }
      return line;
    });
    this.layers.boards.replaceChildren(...draw(look.pieces, "board ", look.pieces.length <= MOST_NAMED));
    this.layers.frame.replaceChildren(...draw(look.frame, "", look.frame.length <= MOST_NAMED * 2));
    this.layers.runs.replaceChildren(...draw(look.runs, "run ", true));
    this.renderFindings();
  }

  renderFindings() {
    const size = this.view.scale * 9;
    const marks = (this.store.look?.findings ?? []).map((found, number) => [found, number + 1]).filter(([found]) => found.at);
    const taken = new Map(); // several at one spot stand side by side
    this.layers.findings.replaceChildren(...marks.map(([found, number]) => {
      const key = found.at.map((value) => Math.round(value / size)).join();
      const before = taken.get(key) ?? 0;
      taken.set(key, before + 1);
      const [x, y] = [found.at[0] + before * size * 2.1, found.at[1]];
      const shapes = {
        stop: `M${x - size} ${y - size}h${2 * size}v${2 * size}h${-2 * size}Z`,
        check: `M${x} ${y - size * 1.2}l${size * 1.2} ${size * 2.2}h${-2.4 * size}Z`,
        note: `M${x - size} ${y}a${size} ${size} 0 1 0 ${2 * size} 0a${size} ${size} 0 1 0 ${-2 * size} 0Z`,
      };
      return svg("g", { class: `found ${found.grade}`, "data-finding": number, role: "img", "aria-label": `${found.grade} ${number}: ${found.text}` },
        svg("path", { d: shapes[found.grade] }),
        svg("text", { x, y, dy: "0.35em", "text-anchor": "middle" }, String(number)),
        svg("title", {}, found.text));
    }));
  }

  // What is in hand: the draft of an outline, the box being pulled, the cross of the keyboard.
  renderDraft({ spots = [], isClosed = false, cross = null, why = "" } = {}) {
    const parts = [];
    if (spots.length) {
      parts.push(svg("path", { d: path(spots, isClosed), class: "draft" }));
      const first = spots[0];
      parts.push(svg("circle", { cx: first[0], cy: -first[1], r: this.view.scale * 6, class: "draft-start" }));
      if (spots.length > 1) {
        parts.push(this.dimension(spots.at(-2), spots.at(-1), 0));
      }
    }
    if (cross) {
      const [x, y, s] = [cross[0], -cross[1], this.view.scale * 12];
      parts.push(svg("path", { d: `M${x - s} ${y}h${2 * s}M${x} ${y - s}v${2 * s}`, class: "cross" }));
      parts.push(svg("text", { x: x + s * 0.7, y: y - s * 0.7, class: "cross-words" },
        `${length(cross[0], this.store.units)}, ${length(cross[1], this.store.units)}${why && why !== "grid" ? ` · ${why}` : ""}`));
    }
    this.layers.draft.replaceChildren(...parts.filter(Boolean));
  }

  // While things are dragged only their own groups move.
  offset(refs, dx, dy) {
    for (const ref of refs) {
      this.nodes.get(ref)?.node.setAttribute("transform", dx || dy ? `translate(${dx} ${-dy})` : "");
    }
  }
}
