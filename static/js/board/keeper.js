// Keeping what was drawn: in this browser after every edit, on the server soon after, and nothing lost between.

import { History, changesBetween } from "./history.js";
import { chooseTheirs, merge } from "./merge.js";
import { Offline, faultsOf } from "./server.js";

const REST_MS = 1500; // after the last edit
const RETRY_MS = [2000, 4000, 8000, 15000, 30000];

export class Keeper {
  constructor(store, server, job) {
    Object.assign(this, { store, server });
    this.slot = `upstand-board-${job}`;
    this.version = 0;
    this.base = null;
    this.tries = 0;
    this.clashes = [];
    store.on("document", () => this.changed());
    store.on("save", () => this.save());
    window.addEventListener("online", () => this.isDirty && this.save());
    window.addEventListener("pagehide", () => this.keep());
  }

  get isDirty() {
    return this.base !== this.store.document && changesBetween(this.base, this.store.document).length > 0;
  }

  // Begin with what the server has, and with what this browser kept if it was never saved.
  open(version, document) {
    const kept = this.read();
    this.version = version;
    this.base = document;
    if (kept?.version === version) {
      this.base = kept.base;
      this.store.history = new History(kept.document, kept.past, kept.future);
      return this.isDirty ? "kept" : "same";
    }
    this.store.history = new History(document);
    if (kept && changesBetween(kept.base, kept.document).length) {
      this.takeIn(kept.base, kept.document, version, document);
      return "merged";
    }
    return "fresh";
  }

  read() {
    try {
      return JSON.parse(localStorage.getItem(this.slot) ?? "null");
    } catch {
      return null;
    }
  }

  keep() {
    if (!this.base) {
      return;
    }
    const { document, past, future } = this.store.history;
    const kept = { version: this.version, base: this.base, document, past, future };
    for (const most of [past.length, 40, 0]) { // a full browser store keeps the drawing before its past
      try {
        localStorage.setItem(this.slot, JSON.stringify({ ...kept, past: past.slice(past.length - most) }));
        return;
      } catch {
        continue;
      }
    }
    this.tell("unkept", "This browser keeps nothing; save before you leave the page.");
  }

  tell(state, words) {
    this.state = state;
    this.store.tell("kept", { state, words });
  }

  changed() {
    this.keep();
    clearTimeout(this.waiting);
    if (!this.isDirty) {
      this.tell("saved", `Saved as version ${this.version}.`);
      return;
    }
    if (this.state !== "offline" && this.state !== "clash") {
      this.tell("unsaved", "Not saved yet; kept in this browser.");
    }
    this.waiting = setTimeout(() => this.save(), REST_MS);
  }

  async save() {
    clearTimeout(this.waiting);
    if (!this.isDirty || this.isSaving || this.clashes.length) {
      return;
    }
    this.isSaving = true;
    const sent = this.store.document;
    try {
      const answer = await this.server.save(this.version, sent);
      this.answered(answer, sent);
      this.tries = 0;
    } catch (cause) {
      if (!(cause instanceof Offline)) {
        throw cause;
      }
      const wait = RETRY_MS[Math.min(this.tries, RETRY_MS.length - 1)];
      this.tries += 1;
      this.tell("offline", "No connection. Your drawing is kept in this browser and is sent when the connection is back.");
      this.waiting = setTimeout(() => this.save(), wait);
    } finally {
      this.isSaving = false;
    }
  }

  answered(answer, sent) {
    if (answer.status === 200) {
      this.version = answer.body.version;
      this.base = sent;
      this.keep();
      if (this.isDirty) {
        this.changed();
      } else {
        this.tell("saved", `Saved as version ${this.version}.`);
      }
    } else if (answer.status === 409) {
      this.fetchTheirs();
    } else if (answer.status === 401) {
      this.tell("out", "You are signed out. Sign in again in another tab; your drawing is kept in this browser.");
    } else {
      this.tell("faulty", `Not saved, kept in this browser. ${faultsOf(answer).slice(0, 3).join(" ")}`);
    }
  }

  async fetchTheirs() {
    const mine = this.store.document;
    const answer = await this.server.open().catch(() => null);
    if (answer?.status === 200) {
      this.takeIn(this.base, mine, answer.body.version, answer.body.document);
    }
  }

  // Somebody saved first: both sets of changes are put together; where both changed one thing, a person chooses.
  takeIn(base, mine, version, theirs) {
    const { merged, clashes } = merge(base, mine, theirs);
    this.version = version;
    this.base = theirs;
    this.clashes = clashes;
    this.store.history.rebase(merged);
    this.store.tell("document");
    if (clashes.length) {
      this.tell("clash", "Somebody saved first, and both of you changed the same things. Choose below; neither is lost.");
      this.store.tell("clashes", clashes);
    } else {
      this.tell("unsaved", "Somebody saved first. Their changes are taken in, yours are kept.");
      this.waiting = setTimeout(() => this.save(), REST_MS);
    }
  }

  // The clashes whose number is in `theirs` are settled their way, the rest mine.
  settle(theirs) {
    const document = this.clashes.reduce(
      (drawn, clash, at) => (theirs.has(at) ? chooseTheirs(drawn, clash) : drawn), this.store.document);
    this.clashes = [];
    this.store.history.rebase(document);
    this.store.tell("document");
    this.save();
  }
}
