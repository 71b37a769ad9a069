// What can be drawn: where each kind stands in the job file, how it lies on plan, and what a fresh one is.

import { holesAt, isHole, withHoles } from "./holes.js";
import { boxCorners, centre, middle, round, roundSpot } from "./geometry.js";

// shape: ring (outline), box (centre, length, width, angle), line (start, end), spot (x, y), side (of the roof).
export const KINDS = {
  "survey.outline": { word: "roof outline", shape: "ring", layer: "roof", stem: "roof" },
  "survey.holes": { word: "hole in the roof", shape: "ring", layer: "roof", stem: "hole" },
  "survey.edges": { word: "edge", shape: "side", layer: "roof", stem: "edge" },
  "survey.zones": { word: "zone", shape: "ring", layer: "heights", stem: "zone" },
  "survey.folds": { word: "fold", shape: "line", layer: "heights", stem: "fold" },
  "plan.deck_fields": { word: "deck field", shape: "ring", layer: "decks", stem: "deck" },
  "plan.holes": { word: "hole in a deck", shape: "ring", layer: "decks", stem: "hole" },
  "plan.stone_beds": { word: "stone bed", shape: "ring", layer: "standing", stem: "bed" },
  "plan.furniture": { word: "furniture", shape: "box", layer: "standing", stem: "furniture" },
  "plan.planters": { word: "planter", shape: "box", layer: "standing", stem: "planter" },
  "plan.benches": { word: "bench", shape: "box", layer: "standing", stem: "bench" },
  "plan.counters": { word: "counter", shape: "box", layer: "standing", stem: "counter" },
  "plan.feature_walls": { word: "feature wall", shape: "line", layer: "standing", stem: "wall" },
  "plan.steps": { word: "steps", shape: "spot", layer: "standing", stem: "steps" },
  "survey.drains": { word: "drain", shape: "spot", layer: "roof", stem: "drain" },
  "survey.penetrations": { word: "vent", shape: "spot", layer: "roof", stem: "vent" },
  "survey.doors": { word: "door", shape: "spot", layer: "roof", stem: "door" },
  "survey.spot_heights": { word: "spot height", shape: "spot", layer: "heights", stem: "h" },
  "survey.power_points": { word: "power point", shape: "spot", layer: "services", stem: "panel" },
  "survey.gas_points": { word: "gas point", shape: "spot", layer: "services", stem: "gas" },
  "survey.water_points": { word: "water point", shape: "spot", layer: "services", stem: "water" },
  "survey.neighbours": { word: "neighbour", shape: "spot", layer: "services", stem: "neighbour" },
  "plan.transformers": { word: "transformer", shape: "spot", layer: "services", stem: "transformer" },
  "plan.amplifiers": { word: "amplifier", shape: "spot", layer: "services", stem: "amplifier" },
  "plan.fixtures": { word: "light", shape: "spot", layer: "services", stem: "light" },
  "plan.outlets": { word: "outlet", shape: "spot", layer: "services", stem: "outlet" },
  "plan.speakers": { word: "speaker", shape: "spot", layer: "services", stem: "speaker" },
  "plan.gas_stubs": { word: "gas stub", shape: "spot", layer: "services", stem: "stub" },
};

const OUTLINE = "survey.outline#roof";

export const refOf = (place, id) => `${place}#${id}`;
export const placeOf = (ref) => ref.slice(0, ref.indexOf("#"));
export const idOf = (ref) => ref.slice(ref.indexOf("#") + 1);

export const section = (document, place) => {
  if (isHole(place)) {
    return holesAt(document, place);
  }
  const [part, key] = place.split(".");
  return document[part]?.[key];
};

export const withSection = (document, place, value) => {
  if (place === "plan.holes" || (place === "survey.holes" && value.every((hole) => hole.outline))) {
    return withHoles(document, place, value);
  }
  const [part, key] = place.split(".");
  return { ...document, [part]: { ...document[part], [key]: value } };
};

export const find = (document, ref) => {
  if (ref === OUTLINE) {
    return { id: "roof", outline: document.survey.outline };
  }
  return (section(document, placeOf(ref)) ?? []).find((thing) => thing.id === idOf(ref)) ?? null;
};

export const all = (document) =>
  Object.keys(KINDS).flatMap((place) => {
    const things = place === "survey.outline" ? [find(document, OUTLINE)] : section(document, place) ?? [];
    return things.map((thing) => ({ ref: refOf(place, thing.id), place, kind: KINDS[place], thing }));
  });

// Put a thing in place of the one with its id.
export const put = (document, ref, thing) => {
  if (ref === OUTLINE) {
    return withSection(document, "survey.outline", thing.outline);
  }
  const place = placeOf(ref);
  const things = section(document, place).map((old) => (old.id === idOf(ref) ? thing : old));
  return withSection(document, place, things);
};

export const add = (document, place, thing) =>
  withSection(document, place, [...(section(document, place) ?? []), thing]);

// Every spot by which a thing can be held, in the order of its handles.
export const spotsOf = (place, thing, document) => {
  switch (KINDS[place].shape) {
    case "ring":
      return thing.outline;
    case "box":
      return boxCorners(thing);
    case "line":
      return [thing.start, thing.end];
    case "side": {
      const ring = document.survey.outline;
      return [ring[thing.from_corner % ring.length], ring[(thing.from_corner + 1) % ring.length]];
    }
    default:
      return [[thing.x, thing.y]];
  }
};

// The spot that stands for a thing when it is moved: corner, centre, start.
export const anchorOf = (place, thing, document) => {
  const shape = KINDS[place].shape;
  if (shape === "box" || shape === "spot") {
    return [thing.x, thing.y];
  }
  return shape === "side" ? middle(...spotsOf(place, thing, document)) : spotsOf(place, thing, document)[0];
};

export const centreOf = (document, refs) =>
  centre(refs.flatMap((ref) => spotsOf(placeOf(ref), find(document, ref), document)));

export const nameOf = (place, thing) => thing.name || thing.id;

const sizeOf = (place, thing) => {
  if (KINDS[place].shape === "box") {
    return `, ${round(thing.length)} by ${round(thing.width)} mm at ${round(thing.x)}, ${round(thing.y)}`;
  }
  if (KINDS[place].shape === "spot") {
    return `, at ${round(thing.x)}, ${round(thing.y)}`;
  }
  return KINDS[place].shape === "ring" ? `, ${thing.outline.length} corners` : "";
};

// What a screen reader says of a thing.
export const told = (place, thing) => {
  const words = `${KINDS[place].word} ${place === "survey.outline" ? "" : nameOf(place, thing)}`;
  return `${words.trim()}${sizeOf(place, thing)}`;
};

// A mark that nothing in the job file has yet.
export const freshId = (document, stem) => {
  const taken = new Set();
  for (const part of ["survey", "plan", "choices"]) {
    for (const value of Object.values(document[part] ?? {})) {
      if (Array.isArray(value)) {
        value.forEach((thing) => taken.add(thing?.id));
      }
    }
  }
  for (let number = 1; ; number += 1) {
    if (!taken.has(`${stem}-${number}`)) {
      return `${stem}-${number}`;
    }
  }
};

export const layOut = (place, spots) => {
  // What the geometry says of a thing of this shape.
  const kept = spots.map(roundSpot);
  switch (KINDS[place].shape) {
    case "ring":
      return { outline: kept };
    case "line":
      return { start: kept[0], end: kept[1] };
    default:
      return { x: kept[0][0], y: kept[0][1] };
  }
};
