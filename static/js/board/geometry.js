// Plane geometry of the board. Plan millimetres, x to the right and y up; angles anticlockwise in degrees.

export const round = (value) => {
  const kept = Math.round(value * 100) / 100;
  return kept === 0 ? 0 : kept;
};
export const roundSpot = ([x, y]) => [round(x), round(y)];
export const distance = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);
export const middle = (a, b) => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
export const shift = (spot, dx, dy) => [spot[0] + dx, spot[1] + dy];
export const sides = (ring) => ring.map((corner, at) => [corner, ring[(at + 1) % ring.length]]);

export const turnAbout = ([x, y], [cx, cy], deg) => {
  // Quarter turns are exact, so that four of them come back to the start.
  const quarters = { 0: [1, 0], 90: [0, 1], 180: [-1, 0], 270: [0, -1] };
  const whole = ((deg % 360) + 360) % 360;
  const [cos, sin] = quarters[whole] ?? [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  return [cx + (x - cx) * cos - (y - cy) * sin, cy + (x - cx) * sin + (y - cy) * cos];
};

export const mirrorAcross = (spot, a, b) => {
  const [foot] = footOnLine(spot, a, b);
  return [2 * foot[0] - spot[0], 2 * foot[1] - spot[1]];
};

// The nearest spot on the line through a and b, and its share of the way from a to b.
export const footOnLine = (spot, a, b) => {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const share = ((spot[0] - a[0]) * dx + (spot[1] - a[1]) * dy) / (dx * dx + dy * dy || 1);
  return [[a[0] + share * dx, a[1] + share * dy], share];
};

export const nearestOnSide = (spot, a, b) => {
  const [, share] = footOnLine(spot, a, b);
  const kept = Math.min(1, Math.max(0, share));
  return [a[0] + kept * (b[0] - a[0]), a[1] + kept * (b[1] - a[1])];
};

export const bearing = (a, b) => (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;

export const normalDeg = (deg) => {
  const whole = round(((deg % 360) + 360) % 360);
  return whole > 180 ? round(whole - 360) : whole;
};

export const area = (ring) =>
  sides(ring).reduce((sum, [a, b]) => sum + a[0] * b[1] - b[0] * a[1], 0) / 2;

export const centre = (spots) => {
  const [left, bottom, right, top] = bounds(spots);
  return [(left + right) / 2, (bottom + top) / 2];
};

export const bounds = (spots) => {
  const xs = spots.map(([x]) => x);
  const ys = spots.map(([, y]) => y);
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
};

export const boxCorners = (box) => {
  const halves = [[-1, -1], [1, -1], [1, 1], [-1, 1]];
  return halves.map(([sx, sy]) =>
    turnAbout([box.x + (sx * box.length) / 2, box.y + (sy * box.width) / 2], [box.x, box.y], box.angle ?? 0));
};

const sideOf = (spot, a, b) => (b[0] - a[0]) * (spot[1] - a[1]) - (b[1] - a[1]) * (spot[0] - a[0]);

const crossing = (p, q, a, b) => {
  const [from, to] = [sideOf(p, a, b), sideOf(q, a, b)];
  const share = from / (from - to);
  return [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])];
};

// What of an outline lies on the side of the line a-b where `keep` is; null when nothing or all is left.
export const trimRing = (ring, a, b, keep) => {
  const sign = Math.sign(sideOf(keep, a, b)) || 1;
  const inside = (spot) => sideOf(spot, a, b) * sign >= -1e-6;
  if (ring.every(inside)) {
    return null;
  }
  const kept = [];
  for (const [p, q] of sides(ring)) {
    if (inside(p)) {
      kept.push(p);
    }
    if (inside(p) !== inside(q)) {
      kept.push(crossing(p, q, a, b));
    }
  }
  const whole = kept.map(roundSpot).filter((spot, at, all) => distance(spot, all[(at + 1) % all.length]) > 0.5);
  return whole.length >= 3 && Math.abs(area(whole)) > 1 ? whole : null;
};

// A line from start to end cut, or carried on, to the line a-b: the end nearer to it moves.
export const trimLine = (start, end, a, b) => {
  const [from, to] = [sideOf(start, a, b), sideOf(end, a, b)];
  if (Math.abs(from - to) < 1e-6) {
    return null;
  }
  const met = roundSpot(crossing(start, end, a, b));
  const moved = Math.abs(from) < Math.abs(to) ? [met, end] : [start, met];
  return distance(...moved) > 1 ? moved : null;
};

export const holds = (ring, spot) => {
  let within = false;
  for (const [a, b] of sides(ring)) {
    const spans = a[1] > spot[1] !== b[1] > spot[1];
    if (spans && spot[0] < ((b[0] - a[0]) * (spot[1] - a[1])) / (b[1] - a[1]) + a[0]) {
      within = !within;
    }
  }
  return within;
};

// A ring or line as an SVG path; the sheet's y runs down.
export const path = (spots, isClosed = true) =>
  `M${spots.map(([x, y]) => `${round(x)} ${round(-y)}`).join("L")}${isClosed ? "Z" : ""}`;
