// The openings of a feature wall in its elevation: x along it from its start, z above the deck. Pure.

import { setValues } from "./edits.js";
import { distance, round } from "./geometry.js";
import { find, freshId } from "./things.js";

const LEAST_MM = 20;
const FIRST = { kind: "niche", width: 600, height: 400, depth: 75 };

export const sizeOf = (wall) => ({ length: distance(wall.start, wall.end), height: wall.height });

export const told = (one) =>
  `${one.kind} ${one.id}, ${round(one.width)} by ${round(one.height)} mm, ${round(one.x)} along, ${round(one.z)} up`;

const others = (wall, id) => (wall.openings ?? []).filter((one) => one.id !== id);

const within = (value, least, most) => Math.min(Math.max(value, least), Math.max(most, least));
const onGrid = (value, grid) => (grid ? Math.round(value / grid) * grid : value);

// On the grid, or on an edge of the wall where that is nearer.
const taken = (value, most, grid) => {
  const kept = onGrid(value, grid);
  return round(Math.abs(value - most) < Math.abs(value - kept) ? most : within(kept, 0, most));
};

// Moved as a whole, never out of the wall.
export const shifted = (wall, one, dx, dz, grid) => {
  const { length, height } = sizeOf(wall);
  return {
    ...one,
    x: taken(one.x + dx, round(Math.max(length - one.width, 0)), grid),
    z: taken(one.z + dz, round(Math.max(height - one.height, 0)), grid),
  };
};

// Corner 0 is the lower one at the start, corner 1 the upper one at the end; the other stays.
export const sized = (wall, one, corner, [x, z], grid) => {
  const { length, height } = sizeOf(wall);
  if (corner === 0) {
    const [left, low] = [taken(x, one.x + one.width - LEAST_MM, grid), taken(z, one.z + one.height - LEAST_MM, grid)];
    return { ...one, x: left, z: low, width: round(one.x + one.width - left), height: round(one.z + one.height - low) };
  }
  const [right, top] = [taken(x, length, grid), taken(z, height, grid)];
  return { ...one, width: round(Math.max(right - one.x, LEAST_MM)), height: round(Math.max(top - one.z, LEAST_MM)) };
};

const freshMark = (document) => {
  const known = (document.plan.feature_walls ?? []).flatMap((wall) => wall.openings ?? []);
  return freshId({ ...document, choices: { ...document.choices, known } }, "opening");
};

// A fresh opening pulled from one spot of the wall to another.
export const pulled = (wall, document, from, to, grid) => {
  const { length, height } = sizeOf(wall);
  const [xs, zs] = [0, 1].map((at) => [from[at], to[at]].map((value) => taken(value, at ? height : length, grid)).sort((a, b) => a - b));
  const made = { id: freshMark(document), ...FIRST, x: xs[0], z: zs[0], width: round(xs[1] - xs[0]), height: round(zs[1] - zs[0]) };
  return made.width < LEAST_MM || made.height < LEAST_MM ? null : made;
};

// A fresh one in the middle of the wall.
export const fresh = (wall, document) => {
  const { length, height } = sizeOf(wall);
  const [width, high] = [Math.min(FIRST.width, length / 2), Math.min(FIRST.height, height / 2)].map(round);
  return { id: freshMark(document), ...FIRST, width, height: high, x: round((length - width) / 2), z: round((height - high) / 2) };
};

// What is wrong with an opening as typed, or nothing.
export const faultOf = (wall, one) => {
  const { length, height } = sizeOf(wall);
  if (!(one.width > 0) || !(one.height > 0)) {
    return "An opening has a width and a height.";
  }
  if (one.x < 0 || one.z < 0 || (one.depth ?? 0) < 0) {
    return "Give lengths of zero or more.";
  }
  if (one.x + one.width > length + 0.01 || one.z + one.height > height + 0.01) {
    return `It would reach out of the wall, which is ${round(length)} mm long and ${round(height)} mm high.`;
  }
  return "";
};

const put = (document, ref, list) => setValues(document, ref, { openings: list });

export const withOpening = (document, ref, one) => {
  const wall = find(document, ref);
  const list = wall.openings ?? [];
  const isKnown = list.some(({ id }) => id === one.id);
  return put(document, ref, isKnown ? list.map((old) => (old.id === one.id ? one : old)) : [...list, one]);
};

export const withoutOpening = (document, ref, id) => put(document, ref, others(find(document, ref), id));
