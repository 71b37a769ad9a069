// Undo and redo: each edit is kept as the parts of the job file it changed, before and after. Pure.

const PARTS = ["survey", "plan", "choices"];
const MOST = 200;

// The parts that differ: [["plan.planters", before, after], …]; compared by identity first, then by value.
export const changesBetween = (before, after) => {
  const found = [];
  for (const part of PARTS) {
    const keys = new Set([...Object.keys(before[part] ?? {}), ...Object.keys(after[part] ?? {})]);
    for (const key of keys) {
      const [old, fresh] = [before[part]?.[key], after[part]?.[key]];
      if (old !== fresh && JSON.stringify(old) !== JSON.stringify(fresh)) {
        found.push([`${part}.${key}`, old, fresh]);
      }
    }
  }
  return found;
};

const withPart = (document, place, value) => {
  const [part, key] = place.split(".");
  const { [key]: _, ...rest } = document[part] ?? {};
  return { ...document, [part]: value === undefined ? rest : { ...document[part], [key]: value } };
};

const applied = (document, changes, side) =>
  changes.reduce((drawn, change) => withPart(drawn, change[0], change[side]), document);

export class History {
  constructor(document, past = [], future = []) {
    this.document = document;
    this.past = past;
    this.future = future;
  }

  // Take a new document in; `merges` joins it to the last edit of the same label (nudges of one thing).
  push(label, document, merges = "") {
    const changes = changesBetween(this.document, document);
    if (!changes.length) {
      return false;
    }
    const last = this.past.at(-1);
    if (merges && last?.merges === merges && !this.future.length) {
      const start = applied(this.document, last.changes, 1);
      this.past = [...this.past.slice(0, -1), { label, merges, changes: changesBetween(start, document) }];
    } else {
      this.past = [...this.past, { label, merges, changes }].slice(-MOST);
    }
    this.future = [];
    this.document = document;
    return true;
  }

  undo() {
    const last = this.past.at(-1);
    if (!last) {
      return "";
    }
    this.document = applied(this.document, last.changes, 1);
    this.past = this.past.slice(0, -1);
    this.future = [...this.future, last];
    return last.label;
  }

  redo() {
    const next = this.future.at(-1);
    if (!next) {
      return "";
    }
    this.document = applied(this.document, next.changes, 2);
    this.future = this.future.slice(0, -1);
    this.past = [...this.past, next];
    return next.label;
  }

  // What another editor saved becomes part of the ground: edits before it can no longer be taken back.
  rebase(document) {
    this.document = document;
    this.past = [];
    this.future = [];
  }
}
