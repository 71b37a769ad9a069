// Two people drew at once: what each changed since the version both began from, put together. Pure.

const PARTS = ["survey", "plan", "choices"];
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
const byId = (value) =>
  Array.isArray(value) && value.length > 0 && value.every((thing) => thing && typeof thing === "object" && "id" in thing)
    ? new Map(value.map((thing) => [thing.id, thing]))
    : null;

// One value: what both agree on, or the side that changed; a clash when both did, differently.
const settle = (base, mine, theirs, at, clashes) => {
  if (same(mine, theirs) || same(base, theirs)) {
    return mine;
  }
  if (same(base, mine)) {
    return theirs;
  }
  clashes.push({ at, mine, theirs });
  return mine;
};

const settleList = (base, mine, theirs, place, clashes) => {
  const ids = [...new Set([...theirs.keys(), ...mine.keys()])];
  return ids
    .map((id) => settle(base.get(id), mine.get(id), theirs.get(id), `${place}#${id}`, clashes))
    .filter((thing) => thing !== undefined);
};

// {merged, clashes}: in a clash, mine stands until somebody chooses; see `choose`.
export const merge = (base, mine, theirs) => {
  const clashes = [];
  const merged = { ...mine };
  for (const part of PARTS) {
    const keys = new Set([...Object.keys(theirs[part] ?? {}), ...Object.keys(mine[part] ?? {})]);
    merged[part] = {};
    for (const key of keys) {
      const place = `${part}.${key}`;
      const three = [base[part]?.[key], mine[part]?.[key], theirs[part]?.[key]];
      const lists = three.map((value) => byId(value) ?? (same(value ?? [], []) ? new Map() : null));
      const isList = lists.every(Boolean) && three.some(byId);
      const value = isList ? settleList(...lists, place, clashes) : settle(...three, place, clashes);
      if (value !== undefined) {
        merged[part][key] = value;
      }
    }
  }
  return { merged, clashes };
};

// The merged document with their side taken for one clash.
export const chooseTheirs = (merged, clash) => {
  const [place, id] = clash.at.split("#");
  const [part, key] = place.split(".");
  const old = merged[part][key];
  let value = clash.theirs;
  if (id !== undefined) {
    const others = (old ?? []).filter((thing) => thing.id !== id);
    value = clash.theirs === undefined ? others : (old ?? []).some((thing) => thing.id === id)
      ? old.map((thing) => (thing.id === id ? clash.theirs : thing))
      : [...others, clash.theirs];
  }
  return { ...merged, [part]: { ...merged[part], [key]: value } };
};
