// What the board knows at one moment, and who wants to hear when it changes.

import { History } from "./history.js";
import { find } from "./things.js";

export class Store extends EventTarget {
  constructor() {
    super();
    this.history = new History({ survey: {}, plan: {}, choices: {} });
    this.kinds = {};
    this.selection = new Set();
    this.look = null;
    this.isClosed = false;
  }

  get document() {
    return this.history.document;
  }

  get units() {
    return this.document.units ?? "metric";
  }

  tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }

  on(names, listener) {
    names.split(" ").forEach((name) => this.addEventListener(name, (event) => listener(event.detail)));
  }

  // Words for the status line; screen readers hear them.
  say(words) {
    this.tell("said", words);
  }

  edit(label, document, merges = "") {
    if (this.isClosed) {
      this.say("This job is closed; its drawing no longer changes.");
      return false;
    }
    if (!this.history.push(label, document, merges)) {
      return false;
    }
    this.dropLost();
    this.tell("document");
    this.say(`${label}.`);
    return true;
  }

  undo() {
    this.stepped(this.history.undo(), "Undone");
  }

  redo() {
    this.stepped(this.history.redo(), "Done again");
  }

  stepped(label, word) {
    if (!label) {
      this.say(word === "Undone" ? "Nothing to undo." : "Nothing to do again.");
      return;
    }
    this.dropLost();
    this.tell("document");
    this.say(`${word}: ${label}.`);
  }

  select(refs) {
    this.selection = new Set(refs);
    this.tell("selection");
  }

  toggle(ref) {
    const refs = new Set(this.selection);
    if (!refs.delete(ref)) {
      refs.add(ref);
    }
    this.select(refs);
  }

  // Whatever is no longer there is no longer chosen.
  dropLost() {
    const kept = [...this.selection].filter((ref) => find(this.document, ref));
    if (kept.length !== this.selection.size) {
      this.select(kept);
    }
  }
}
