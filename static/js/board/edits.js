// What can be done to things that are drawn. Each takes a document and gives a new one; nothing is changed in place.

import { bearing, distance, mirrorAcross, normalDeg, round, roundSpot, shift, trimLine, trimRing, turnAbout } from "./geometry.js";
import { boxCorners, centre } from "./geometry.js";
import { hostOf, isHole, nextHole } from "./holes.js";
import { KINDS, add, centreOf, find, freshId, idOf, placeOf, put, refOf, section, withSection } from "./things.js";

const SWAPPED = { left: "right", right: "left" };

// A thing with every spot of it put through `to`; `turn` turns its angle, `isMirror` turns it over.
const through = (place, thing, to, turn = (deg) => deg, isMirror = false) => {
  const at = (spot) => roundSpot(to(spot));
  switch (KINDS[place].shape) {
    case "ring": {
      const moved = { ...thing, outline: thing.outline.map(at) };
      if (thing.holes?.length) {
        moved.holes = thing.holes.map((hole) => hole.map(at));
      }
      if (place === "plan.deck_fields" && turn(0) !== 0) {
        moved.angle = normalDeg(turn(thing.angle ?? 0));
      }
      return moved;
    }
    case "line": {
      if (!isMirror) {
        return { ...thing, start: at(thing.start), end: at(thing.end) };
      }
      // Start and end change places, so that the clad face stays on the side it looked to.
      const length = Math.hypot(thing.end[0] - thing.start[0], thing.end[1] - thing.start[1]);
      const openings = (thing.openings ?? []).map((hole) => ({ ...hole, x: round(length - hole.x - hole.width) }));
      const kept = thing.openings ? { openings } : {};
      return { ...thing, start: at(thing.end), end: at(thing.start), ...kept };
    }
    case "side":
      return thing;
    default: {
      const [x, y] = at([thing.x, thing.y]);
      const moved = { ...thing, x, y };
      if (KINDS[place].shape === "box") {
        const angle = normalDeg(turn(thing.angle ?? 0) + (isMirror ? 180 : 0));
        if (angle !== (thing.angle ?? 0)) {
          moved.angle = angle;
        }
        if (isMirror && thing.clad_faces) {
          moved.clad_faces = thing.clad_faces.map((face) => SWAPPED[face] ?? face);
        }
      }
      if (thing.aim !== undefined) {
        moved.aim = normalDeg(turn(thing.aim));
      }
      return moved;
    }
  }
};

const change = (document, refs, how) =>
  refs.reduce((drawn, ref) => put(drawn, ref, how(placeOf(ref), find(drawn, ref))), document);

export const move = (document, refs, dx, dy) =>
  change(document, refs, (place, thing) => through(place, thing, (spot) => shift(spot, dx, dy)));

export const turn = (document, refs, deg, about = centreOf(document, refs)) =>
  change(document, refs, (place, thing) =>
    through(place, thing, (spot) => turnAbout(spot, about, deg), (angle) => angle + deg));

export const mirror = (document, refs, a, b) => {
  const way = bearing(a, b);
  return change(document, refs, (place, thing) =>
    through(place, thing, (spot) => mirrorAcross(spot, a, b), (angle) => 2 * way - angle, true));
};

export const remove = (document, refs) => {
  const gone = new Map();
  for (const ref of refs) {
    gone.set(placeOf(ref), (gone.get(placeOf(ref)) ?? new Set()).add(idOf(ref)));
  }
  gone.delete("survey.outline");
  gone.delete("survey.edges"); // an edge goes with the side it belongs to
  let drawn = document;
  for (const [place, ids] of gone) {
    drawn = withSection(drawn, place, section(drawn, place).filter((thing) => !ids.has(thing.id)));
  }
  return drawn;
};

// Copies beside the things; gives the new document and the refs of the copies.
export const copy = (document, refs, dx, dy) => {
  const made = [];
  let drawn = document;
  for (const ref of refs) {
    const place = placeOf(ref);
    if (place === "survey.outline" || place === "survey.edges") {
      continue;
    }
    const thing = { ...through(place, find(drawn, ref), (spot) => shift(spot, dx, dy)), id: freshId(drawn, KINDS[place].stem) };
    if (isHole(place)) {
      thing.host = hostOf(drawn, place, thing.outline) ?? thing.host;
      thing.id = nextHole(drawn, place, thing.host);
    }
    const { id } = thing;
    if (thing.openings) {
      thing.openings = thing.openings.map((hole, at) => ({ ...hole, id: `${id}-${at + 1}` }));
    }
    drawn = add(drawn, place, thing);
    made.push(refOf(place, id));
  }
  return [drawn, made];
};

// So many more, each a step further along the way from a to b.
export const array = (document, refs, count, step, a, b) => {
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  const [ux, uy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const made = [];
  let drawn = document;
  for (let number = 1; number <= count; number += 1) {
    const [after, copies] = copy(drawn, refs, ux * step * number, uy * step * number);
    drawn = after;
    made.push(...copies);
  }
  return [drawn, made];
};

// What lies beyond the edge a-b is cut off; null when the edge cuts none of them.
export const trim = (document, refs, a, b) => {
  let drawn = document;
  for (const ref of refs) {
    const place = placeOf(ref);
    const thing = find(drawn, ref);
    if (KINDS[place].shape === "ring" && place !== "survey.outline") {
      const outline = trimRing(thing.outline, a, b, centre(thing.outline));
      drawn = outline ? put(drawn, ref, { ...thing, outline }) : drawn;
    } else if (KINDS[place].shape === "line") {
      const ends = trimLine(thing.start, thing.end, a, b);
      drawn = ends ? put(drawn, ref, { ...thing, start: ends[0], end: ends[1] }) : drawn;
    } else if (KINDS[place].shape === "box") {
      const box = trimBox(thing, a, b);
      drawn = box ? put(drawn, ref, box) : drawn;
    }
  }
  return drawn === document ? null : drawn;
};

// A box is cut only by an edge that runs along one of its sides: what is left must be a box again.
const trimBox = (box, a, b) => {
  const outline = trimRing(boxCorners(box), a, b, [box.x, box.y]);
  if (!outline || outline.length !== 4) {
    return null;
  }
  const flat = outline.map((spot) => turnAbout(spot, [0, 0], -(box.angle ?? 0)));
  const xs = flat.map(([x]) => x);
  const ys = flat.map(([, y]) => y);
  const [length, width] = [Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)];
  const isBox = flat.every(([x, y]) =>
    [Math.min(...xs), Math.max(...xs)].some((side) => Math.abs(side - x) < 0.1) &&
    [Math.min(...ys), Math.max(...ys)].some((side) => Math.abs(side - y) < 0.1));
  if (!isBox) {
    return null;
  }
  const middle = [(Math.max(...xs) + Math.min(...xs)) / 2, (Math.max(...ys) + Math.min(...ys)) / 2];
  const [x, y] = roundSpot(turnAbout(middle, [0, 0], box.angle ?? 0));
  return { ...box, x, y, length: round(length), width: round(width) };
};

// One handle of a thing dragged to a spot: a corner of an outline, an end of a wall, a corner of a box.
export const pull = (document, ref, handle, to) => {
  const place = placeOf(ref);
  const thing = find(document, ref);
  const spot = roundSpot(to);
  if (KINDS[place].shape === "ring") {
    const { length } = thing.outline;
    const onto = [(handle + 1) % length, (handle + length - 1) % length].find((at) => distance(thing.outline[at], spot) < 0.5);
    if (onto !== undefined && length > 3) {
      return dropCorner(document, ref, handle, onto);
    }
    const outline = thing.outline.map((corner, at) => (at === handle ? spot : corner));
    return put(document, ref, { ...thing, outline });
  }
  if (KINDS[place].shape === "line") {
    return put(document, ref, { ...thing, [handle === 0 ? "start" : "end"]: spot });
  }
  if (KINDS[place].shape === "box") {
    const fixed = boxCorners(thing)[(handle + 2) % 4];
    const angle = thing.angle ?? 0;
    const [dx, dy] = turnAbout([spot[0] - fixed[0], spot[1] - fixed[1]], [0, 0], -angle);
    if (Math.abs(dx) < 10 || Math.abs(dy) < 10) {
      return document;
    }
    const [x, y] = roundSpot([(fixed[0] + spot[0]) / 2, (fixed[1] + spot[1]) / 2]);
    return put(document, ref, { ...thing, x, y, length: round(Math.abs(dx)), width: round(Math.abs(dy)) });
  }
  return put(document, ref, { ...thing, x: spot[0], y: spot[1] });
};

// A corner put into a side of an outline, or taken out of it. The roof's edges follow their corners.
export const addCorner = (document, ref, after, spot) => {
  const thing = find(document, ref);
  const drawn = put(document, ref, { ...thing, outline: thing.outline.toSpliced(after + 1, 0, roundSpot(spot)) });
  if (placeOf(ref) !== "survey.outline") {
    return drawn;
  }
  const edges = (document.survey.edges ?? []).flatMap((edge) => {
    if (edge.from_corner !== after) {
      return [edge.from_corner > after ? { ...edge, from_corner: edge.from_corner + 1 } : edge];
    }
    return [edge, { ...edge, id: freshId(document, "edge"), from_corner: after + 1 }];
  });
  return withSection(drawn, "survey.edges", edges);
};

// A corner pushed onto its neighbour goes, and with it the side between the two.
const dropCorner = (document, ref, corner, onto) => {
  const thing = find(document, ref);
  const { length } = thing.outline;
  const drawn = put(document, ref, { ...thing, outline: thing.outline.toSpliced(corner, 1) });
  if (placeOf(ref) !== "survey.outline") {
    return drawn;
  }
  const lost = (corner + 1) % length === onto ? corner : onto;
  const edges = (document.survey.edges ?? []).filter((edge) => edge.from_corner !== lost).map((edge) => {
    const from = edge.from_corner === corner ? onto : edge.from_corner;
    return { ...edge, from_corner: from > corner ? from - 1 : from };
  });
  return withSection(drawn, "survey.edges", edges);
};

export const setValues = (document, ref, values) => {
  const thing = find(document, ref);
  const changed = put(document, ref, { ...thing, ...values });
  return values.id && values.id !== thing.id ? renamed(changed, thing.id, values.id) : changed;
};

const NAMED = ["circuit", "source", "fed_from"];

// Whatever named a thing by its old mark names it by the new one.
const renamed = (document, old, mark) => {
  let drawn = document;
  for (const [key, things] of Object.entries(document.plan)) {
    if (Array.isArray(things) && things.some((thing) => NAMED.some((name) => thing[name] === old))) {
      const told = things.map((thing) => {
        const names = NAMED.filter((name) => thing[name] === old).map((name) => [name, mark]);
        return names.length ? { ...thing, ...Object.fromEntries(names) } : thing;
      });
      drawn = withSection(drawn, `plan.${key}`, told);
    }
  }
  return drawn;
};
