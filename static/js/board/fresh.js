// A fresh thing of each kind: what must be said of it before it is drawn, and what it is made of at first.

import { hostOf, isHole, nextHole } from "./holes.js";
import { KINDS, add, freshId, layOut, section, withSection } from "./things.js";

// Fields asked in the tool's own panel, with what stands in them at first; an empty one must be typed.
export const ASKED = {
  "survey.folds": { kind: "ridge", start_z: "", end_z: "" },
  "plan.steps": { width: "1200", angle: "270" },
  "plan.stone_beds": { depth: "50" },
  "plan.furniture": { length: "1800", width: "900", height: "750", mass: "30" },
  "plan.planters": { length: "1200", width: "450", height: "450", media_depth: "300" },
  "plan.benches": { length: "1800", width: "450", height: "450" },
  "plan.counters": { length: "1500", width: "650", height: "900" },
  "plan.feature_walls": { height: "2100" },
  "survey.drains": { kind: "drain", diameter: "100" },
  "survey.penetrations": { kind: "vent", width: "110", height: "300" },
  "survey.doors": { width: "900", threshold: "" },
  "survey.spot_heights": { z: "" },
  "survey.power_points": { supply: "120" },
  "survey.gas_points": { pipe_to_meter: "" },
  "survey.neighbours": { kind: "window" },
  "plan.transformers": { output: "12" },
  "plan.fixtures": { kind: "step", z: "150", power: "3", least: "10.5", greatest: "15" },
  "plan.outlets": { load: "180" },
  "plan.gas_stubs": { appliance: "" },
};

const MATERIALS = {
  "plan.deck_fields": { board: "choices.boards", sleeper: "choices.sections", pad: "choices.pads" },
  "plan.stone_beds": { stone: "choices.stones" },
  "plan.steps": { board: "choices.boards", frame: "choices.sections" },
  "plan.planters": { medium: "choices.media", cladding: "choices.boards", frame: "choices.sections" },
  "plan.benches": { board: "choices.boards", frame: "choices.sections" },
  "plan.counters": { cladding: "choices.boards", frame: "choices.sections", top: "choices.tops" },
  "plan.feature_walls": { cladding: "choices.boards", furring: "choices.sections" },
};
const SOURCES = {
  "plan.transformers": ["fed_from", "survey.power_points"],
  "plan.amplifiers": ["fed_from", "survey.power_points"],
  "plan.steps": ["upper", "plan.deck_fields"],
  "plan.gas_stubs": ["source", "survey.gas_points"],
};
const CIRCUITS = {
  "plan.fixtures": ["lighting", "plan.transformers"],
  "plan.outlets": ["power", "survey.power_points"],
  "plan.speakers": ["sound", "plan.amplifiers"],
};

export class Refusal extends Error {}

const firstOf = (document, place, word) => {
  const found = section(document, place)?.[0];
  if (!found) {
    const [part, key] = place.split(".");
    const name = KINDS[place]?.word ?? key.replaceAll("_", " ");
    const way = part === "choices" ? "Take the materials of another job first" : `Draw a ${name} first`;
    throw new Refusal(`${/^[aeiou]/.test(word) ? "An" : "A"} ${word} needs one of: ${name}. ${way}.`);
  }
  return found.id;
};

const withCircuit = (document, place) => {
  const [use, source] = CIRCUITS[place];
  const known = (document.plan.circuits ?? []).find((circuit) => circuit.kind === use);
  if (known) {
    return [document, known.id];
  }
  const id = freshId(document, use);
  const circuit = { id, kind: use, source: firstOf(document, source, KINDS[place].word) };
  return [add(document, "plan.circuits", circuit), id];
};

// A new outline gets an edge for each side; an edge keeps what was said of it where its side stayed.
const withEdges = (document, outline) => {
  const old = document.survey.outline;
  const kept = new Map();
  for (const edge of document.survey.edges ?? []) {
    const [a, b] = [old[edge.from_corner], old[(edge.from_corner + 1) % old.length]];
    kept.set(`${a}|${b}`, edge);
  }
  const edges = outline.map((corner, at) => {
    const same = kept.get(`${corner}|${outline[(at + 1) % outline.length]}`);
    return same ? { ...same, from_corner: at } : { id: "", from_corner: at, kind: "open", height: 0 };
  });
  let drawn = withSection(withSection(document, "survey.outline", outline), "survey.edges", []);
  const marks = new Set(edges.map((edge) => edge.id));
  let number = 0;
  const marked = edges.map((edge) => {
    while (!edge.id && (number === 0 || marks.has(`edge-${number}`))) {
      number += 1;
    }
    const id = edge.id || `edge-${number}`;
    marks.add(id);
    return { ...edge, id };
  });
  drawn = withSection(drawn, "survey.edges", marked);
  return drawn;
};

const drawHole = (document, place, outline) => {
  const host = hostOf(document, place, outline);
  if (host === null) {
    throw new Refusal(`A ${KINDS[place].word} lies wholly within ${place === "survey.holes" ? "the roof" : "one deck field"}.`);
  }
  const id = nextHole(document, place, host);
  return [add(document, place, { id, host, outline }), `${place}#${id}`];
};

// The document with a thing drawn, and the ref of the thing; Refusal when something is missing.
export const drawThing = (document, place, spots, values) => {
  if (place === "survey.outline") {
    return [withEdges(document, layOut(place, spots).outline), "survey.outline#roof"];
  }
  if (isHole(place)) {
    return drawHole(document, place, layOut(place, spots).outline);
  }
  let drawn = document;
  const thing = { id: freshId(document, KINDS[place].stem), ...layOut(place, spots), ...values };
  for (const [key, from] of Object.entries(MATERIALS[place] ?? {})) {
    thing[key] = firstOf(document, from, KINDS[place].word);
  }
  if (SOURCES[place]) {
    const [key, from] = SOURCES[place];
    thing[key] = firstOf(document, from, KINDS[place].word);
  }
  if (CIRCUITS[place]) {
    [drawn, thing.circuit] = withCircuit(drawn, place);
  }
  if (place === "survey.penetrations" && thing.kind === "vent") {
    thing.shape = "round";
  }
  return [add(drawn, place, thing), `${place}#${thing.id}`];
};

export const reshapeOutline = withEdges;
