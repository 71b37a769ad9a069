// Mouse, pen and fingers on the drawing. One finger or button draws or drags; two fingers shift and zoom.

import { distance, middle } from "./geometry.js";

const STILL_PX = 6; // less than this is a press, more is a drag

export class Pointer {
  constructor(store, view, tools) {
    Object.assign(this, { store, view, tools });
    this.down = new Map();
    this.drag = null;
    const { svg } = view;
    svg.addEventListener("pointerdown", (event) => this.pressed(event));
    svg.addEventListener("pointermove", (event) => this.moved(event));
    svg.addEventListener("pointerup", (event) => this.lifted(event));
    svg.addEventListener("pointercancel", (event) => this.dropped(event));
    // No gesture of the browser's own on the drawing: after a quick drag it would swallow the next tap.
    svg.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    svg.addEventListener("dblclick", () => tools.draft.length > 2 && tools.finish());
    svg.addEventListener("wheel", (event) => this.wheeled(event), { passive: false });
  }

  plan(event) {
    return this.view.toPlan(event.clientX, event.clientY);
  }

  pressed(event) {
    if (event.button > 1) {
      return;
    }
    this.view.svg.setPointerCapture(event.pointerId);
    this.view.svg.focus({ preventScroll: true });
    this.down.set(event.pointerId, [event.clientX, event.clientY]);
    if (this.down.size === 2) {
      this.abandon();
      this.pinch = this.fingers();
      return;
    }
    const start = [event.clientX, event.clientY];
    const isPan = event.button === 1 || this.tools.name === "pan";
    this.drag = { start, at: this.plan(event), isMoving: false, ...(isPan ? { what: "pan" } : this.meant(event)) };
  }

  // What a drag from here would do.
  meant(event) {
    if (this.tools.isDrawing || this.tools.name === "measure") {
      return { what: this.tools.shape === "spot" || this.tools.draft.length ? "press" : "pull" };
    }
    if (this.tools.name === "trim") {
      return { what: "press" };
    }
    const handle = event.target.closest("[data-handle]");
    if (handle) {
      return { what: "handle", handle: Number(handle.dataset.handle), isBetween: Boolean(handle.dataset.between), refs: [...this.store.selection] };
    }
    const found = event.target.closest("[data-ref]");
    const ref = found?.dataset.ref;
    const isMany = event.shiftKey || event.ctrlKey || event.metaKey || this.tools.several;
    const isGround = !ref || ref.startsWith("survey.outline") || ref.startsWith("survey.edges");
    if (isGround) {
      return { what: event.pointerType === "touch" ? "pan" : "frame", ref, isMany };
    }
    if (!this.store.selection.has(ref) && !isMany) {
      this.store.select([ref]);
      return { what: "move", ref, refs: [ref], isFresh: true };
    }
    const refs = this.store.selection.has(ref) ? [ref, ...[...this.store.selection].filter((one) => one !== ref)] : [ref];
    return { what: "move", ref, refs, isMany };
  }

  moved(event) {
    const before = this.down.get(event.pointerId);
    if (before) {
      this.down.set(event.pointerId, [event.clientX, event.clientY]);
    }
    if (this.pinch) {
      this.pinched();
      return;
    }
    const { drag } = this;
    if (!drag) {
      if (this.tools.isDrawing || this.tools.name === "measure") {
        this.tools.point(this.plan(event));
      }
      return;
    }
    const at = [event.clientX, event.clientY];
    drag.isMoving ||= distance(drag.start, at) > STILL_PX;
    if (drag.isMoving) {
      this.dragged(drag, at, before, this.plan(event));
    }
  }

  dragged(drag, at, before, spot) {
    const { tools } = this;
    if (drag.what === "pan") {
      this.view.pan(at[0] - before[0], at[1] - before[1]);
    } else if (drag.what === "move") {
      const [dx, dy, why] = tools.dragged(drag.refs, drag.at, spot);
      drag.by = [dx, dy];
      tools.drawing.offset(drag.refs, dx, dy);
      tools.drawing.layers.handles.replaceChildren();
      tools.drawing.renderDraft({ cross: spot, why });
    } else if (drag.what === "pull" || drag.what === "frame") {
      const from = drag.what === "pull" ? (drag.from ??= tools.snap.take(drag.at, { place: tools.name }).spot) : drag.at;
      drag.to = drag.what === "pull" ? tools.snap.take(spot, { from: tools.shape === "line" ? [from] : [], place: tools.name }).spot : spot;
      tools.preview = tools.pulled(from, drag.to);
      tools.cursor = drag.to;
      tools.redraw();
    } else if (drag.what === "handle") {
      drag.to = tools.snap.take(spot, { but: new Set(drag.refs) }).spot;
      tools.drawing.renderDraft({ ...tools.reshaped(drag.refs[0], drag.handle, drag.to, drag.isBetween), cross: drag.to });
    }
  }

  lifted(event) {
    if (this.drag && !this.pinch) {
      this.moved(event); // the place where it is lifted counts, also when no move was told before
    }
    this.down.delete(event.pointerId);
    if (this.pinch) {
      this.pinch = this.down.size === 2 ? this.fingers() : null;
      return;
    }
    const { drag, tools } = this;
    this.drag = null;
    if (!drag) {
      return;
    }
    tools.preview = null;
    if (!drag.isMoving) {
      this.clicked(drag);
    } else if (drag.what === "press") {
      tools.press(this.plan(event));
    } else if (drag.what === "move") {
      tools.drawing.offset(drag.refs, 0, 0);
      tools.moveBy(drag.refs, ...(drag.by ?? [0, 0]));
      tools.drawing.renderHandles();
    } else if (drag.what === "pull" && drag.to) {
      tools.drawPulled(drag.from, drag.to);
    } else if (drag.what === "frame") {
      tools.chooseWithin(drag.at, drag.to);
    } else if (drag.what === "handle" && drag.to) {
      tools.pull(drag.refs[0], drag.handle, drag.to, drag.isBetween);
    }
    tools.redraw();
  }

  clicked(drag) {
    const { tools, store } = this;
    if (drag.what === "press" || drag.what === "pull") {
      tools.press(drag.at);
    } else if (drag.ref && drag.isMany) {
      store.toggle(drag.ref);
    } else if (drag.ref && !drag.isFresh) {
      store.select([drag.ref]);
    } else if (!drag.ref && drag.what !== "handle" && !drag.isMany) {
      store.select([]);
    }
  }

  dropped(event) {
    this.down.delete(event.pointerId);
    this.pinch = null;
    this.abandon();
  }

  // A drag given up leaves everything where it was.
  abandon() {
    if (this.drag?.refs && this.drag.what === "move") {
      this.tools.drawing.offset(this.drag.refs, 0, 0);
    }
    this.drag = null;
    this.tools.preview = null;
    this.tools.redraw();
  }

  fingers() {
    const [a, b] = [...this.down.values()];
    return { at: middle(a, b), apart: Math.max(distance(a, b), 1) };
  }

  pinched() {
    if (this.down.size < 2) {
      return;
    }
    const now = this.fingers();
    this.view.pan(now.at[0] - this.pinch.at[0], now.at[1] - this.pinch.at[1]);
    this.view.zoom(now.apart / this.pinch.apart, ...now.at);
    this.pinch = now;
  }

  wheeled(event) {
    if (!event.ctrlKey && !event.metaKey && document.activeElement !== this.view.svg) {
      return; // a page scrolled past the drawing is not caught by it
    }
    event.preventDefault();
    this.view.zoom(Math.exp(-event.deltaY * 0.0015), event.clientX, event.clientY);
  }
}
