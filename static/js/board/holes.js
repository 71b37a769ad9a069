// Holes carry no mark in the job file. On the board each is a thing of its own, named by its place in its list.

import { holds } from "./geometry.js";

const known = new WeakMap(); // a ring that did not change is the same thing

const thingOf = (outline, id, host) => {
  const old = known.get(outline);
  if (old?.id === id) {
    return old;
  }
  const thing = { id, host, outline };
  known.set(outline, thing);
  return thing;
};

export const isHole = (place) => place === "survey.holes" || place === "plan.holes";

const idOfHole = (host, number) => (host ? `${host}-hole-${number}` : `hole-${number}`);

export const holesAt = (document, place) => {
  const of = (rings, host) => (rings ?? []).map((ring, at) => thingOf(ring, idOfHole(host, at + 1), host));
  return place === "survey.holes"
    ? of(document.survey.holes, "")
    : (document.plan.deck_fields ?? []).flatMap((field) => of(field.holes, field.id));
};

export const withHoles = (document, place, things) => {
  const rings = (host) => things.filter((thing) => thing.host === host).map((thing) => thing.outline);
  if (place === "survey.holes") {
    return { ...document, survey: { ...document.survey, holes: rings("") } };
  }
  const fields = document.plan.deck_fields.map((field) => {
    const [old, holes] = [field.holes ?? [], rings(field.id)];
    const isSame = old.length === holes.length && holes.every((ring, at) => ring === old[at]);
    return isSame ? field : { ...field, holes };
  });
  return { ...document, plan: { ...document.plan, deck_fields: fields } };
};

// The outline a hole lies in: "" for the roof, the mark of a deck field, null when it lies in none.
export const hostOf = (document, place, outline) => {
  const lies = (ring) => outline.every((corner) => holds(ring, corner));
  if (place === "survey.holes") {
    return lies(document.survey.outline) ? "" : null;
  }
  return document.plan.deck_fields?.findLast((field) => lies(field.outline))?.id ?? null;
};

// What a hole added now will be called.
export const nextHole = (document, place, host) =>
  idOfHole(host, holesAt(document, place).filter((hole) => hole.host === host).length + 1);
