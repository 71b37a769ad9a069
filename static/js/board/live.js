// After each edit the server says what the drawing comes to; only the newest answer counts.

import { Offline, faultsOf } from "./server.js";

const REST_MS = 120;

export class Live {
  constructor(store, server) {
    Object.assign(this, { store, server });
    store.on("document", () => this.ask());
  }

  ask(restMs = REST_MS) {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => this.look(), restMs);
  }

  async look() {
    this.asked?.abort();
    this.asked = new AbortController();
    const started = performance.now();
    this.store.tell("looking");
    try {
      const answer = await this.server.look(this.store.document, this.asked.signal);
      const tookMs = performance.now() - started;
      if (answer.status === 200) {
        this.store.look = answer.body;
        this.store.tell("look", { tookMs });
      } else {
        this.store.tell("faults", answer.body.error?.faults ?? faultsOf(answer).map((wanted) => ({ path: "", wanted })));
      }
    } catch (cause) {
      if (cause instanceof Offline) {
        this.store.tell("unseen", "No connection: figures and boards are those of the last answer.");
      } else if (cause.name !== "AbortError") {
        throw cause;
      }
    }
  }
}
