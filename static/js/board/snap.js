// Where a spot meant by hand is taken to lie: a corner, square to the last side, an edge, an equal gap, a board, the grid.

import { distance, footOnLine, holds, nearestOnSide, round, roundSpot, sides, turnAbout } from "./geometry.js";
import { KINDS, all, spotsOf } from "./things.js";

const NEAR_PX = 8;
const MOST_MM = 120; // from far away a pixel is much; nothing is drawn in from further than this
const GAP_PX = 3;

export class Snap {
  constructor(store, view) {
    this.store = store;
    this.view = view;
    this.grid = 100;
    this.uses = { corner: true, square: true, edge: true, gap: true, board: false, grid: true };
  }

  get near() {
    return Math.min(NEAR_PX * this.view.scale, MOST_MM);
  }

  // {spot, why}; `from` are the spots of the draft so far, `but` the things being moved, `place` their kind.
  take(spot, { from = [], but = new Set(), place = "" } = {}) {
    const things = all(this.store.document).filter(({ ref, kind }) => !but.has(ref) && kind.shape !== "spot" && kind.shape !== "side");
    const rings = things.map(({ place: at, thing }) => [KINDS[at].shape, spotsOf(at, thing, this.store.document)]);
    const found =
      (this.uses.corner && this.corner(spot, [...rings.flatMap(([, ring]) => ring), ...from.slice(0, 1)])) ||
      (this.uses.square && from.length && this.square(spot, from)) ||
      (this.uses.edge && this.edge(spot, rings)) ||
      (this.uses.gap && this.gap(spot, place, but)) ||
      (this.uses.board && this.board(spot));
    if (found) {
      return { spot: roundSpot(found.spot), why: found.why };
    }
    return this.uses.grid ? { spot: this.onGrid(spot), why: "grid" } : { spot: roundSpot(spot), why: "" };
  }

  onGrid([x, y]) {
    return roundSpot([Math.round(x / this.grid) * this.grid, Math.round(y / this.grid) * this.grid]);
  }

  along(value) {
    return this.uses.grid ? Math.round(value / this.grid) * this.grid : value;
  }

  corner(spot, corners) {
    const near = corners.filter((corner) => distance(corner, spot) <= this.near);
    near.sort((a, b) => distance(a, spot) - distance(b, spot));
    return near.length ? { spot: near[0], why: "corner" } : null;
  }

  // Along the sheet, or parallel or perpendicular to the side before.
  square(spot, from) {
    const last = from.at(-1);
    const ways = [[1, 0], [0, 1]];
    if (from.length > 1) {
      const before = from.at(-2);
      const length = distance(before, last) || 1;
      const [ux, uy] = [(last[0] - before[0]) / length, (last[1] - before[1]) / length];
      ways.push([ux, uy], [-uy, ux]);
    }
    for (const [ux, uy] of ways) {
      const [foot] = footOnLine(spot, last, [last[0] + ux, last[1] + uy]);
      if (distance(foot, spot) <= this.near) {
        const gone = (foot[0] - last[0]) * ux + (foot[1] - last[1]) * uy;
        const isOnSheet = ux === 1 || uy === 1;
        const [gx, gy] = this.onGrid(foot);
        const kept = !isOnSheet || !this.uses.grid ? this.along(gone) : ux === 1 ? gx - last[0] : gy - last[1];
        return { spot: [last[0] + ux * kept, last[1] + uy * kept], why: "square" };
      }
    }
    return null;
  }

  edge(spot, rings) {
    let best = null;
    for (const [shape, ring] of rings) {
      for (const [a, b] of shape === "line" ? [ring] : sides(ring)) {
        const foot = nearestOnSide(spot, a, b);
        const off = distance(foot, spot);
        if (off <= this.near && (!best || off < best.off)) {
          const length = distance(a, b) || 1;
          const kept = Math.min(length, Math.max(0, this.along(distance(a, foot))));
          best = { off, spot: [a[0] + ((b[0] - a[0]) * kept) / length, a[1] + ((b[1] - a[1]) * kept) / length], why: "edge" };
        }
      }
    }
    return best;
  }

  // As far from the last of its kind as that one is from the one before.
  gap(spot, place, but) {
    if (KINDS[place]?.shape !== "box" && KINDS[place]?.shape !== "spot") {
      return null;
    }
    const spots = all(this.store.document)
      .filter((found) => found.place === place && !but.has(found.ref))
      .map(({ thing }) => [thing.x, thing.y]);
    const near = Math.min(GAP_PX * this.view.scale, MOST_MM);
    for (const one of spots) {
      for (const other of spots) {
        const next = [2 * one[0] - other[0], 2 * one[1] - other[1]];
        if (one !== other && distance(next, spot) <= near) {
          return { spot: next, why: "equal gap" };
        }
      }
    }
    return null;
  }

  // Onto the line between two courses of the deck field beneath.
  board(spot) {
    const modules = this.store.look?.modules ?? {};
    for (const field of this.store.document.plan.deck_fields ?? []) {
      const [angle, step] = modules[field.id] ?? [];
      if (!step || !holds(field.outline, spot)) {
        continue;
      }
      const flat = turnAbout(spot, [0, 0], -angle);
      const base = Math.min(...field.outline.map((corner) => turnAbout(corner, [0, 0], -angle)[1]));
      const across = base + Math.round((flat[1] - base) / step) * step;
      return { spot: turnAbout([this.along(flat[0]), round(across)], [0, 0], angle), why: "board" };
    }
    return null;
  }
}
