// The keyboard on the drawing, alone enough for everything.

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

// The step of an arrow key: the grid, ten of it with shift, a millimetre with alt.
export const arrowStep = (event, grid) => {
  const way = ARROWS[event.key];
  if (!way || event.ctrlKey || event.metaKey) {
    return null;
  }
  const step = event.altKey ? 1 : event.shiftKey ? grid * 10 : grid;
  return [way[0] * step, way[1] * step];
};

export const listen = (store, view, tools, fit) => {
  const plain = {
    Enter: () => (tools.isDrawing || ["measure", "trim"].includes(tools.name)) && tools.cursor && tools.press(tools.cursor, true),
    " ": () => tools.draft.length > 2 && tools.finish(),
    Escape: () => tools.cancel(),
    Delete: () => (tools.draft.length ? tools.back() : tools.remove()),
    Backspace: () => (tools.draft.length ? tools.back() : tools.remove()),
    "+": () => view.zoom(1.25),
    "=": () => view.zoom(1.25),
    "-": () => view.zoom(0.8),
    0: fit,
  };
  view.svg.addEventListener("keydown", (event) => {
    const step = arrowStep(event, tools.snap.grid);
    if (step) {
      event.preventDefault();
      tools.nudge(...step);
    } else if (plain[event.key] && !event.ctrlKey && !event.metaKey && !event.altKey) {
      event.preventDefault();
      plain[event.key]();
    }
  });
  // These hold wherever the focus is on the board, but not while something is typed.
  document.getElementById("board").addEventListener("keydown", (event) => {
    const isTyping = event.target.matches("input, select, textarea");
    if (!(event.ctrlKey || event.metaKey) || isTyping) {
      return;
    }
    const key = event.key.toLowerCase();
    const held = { z: () => (event.shiftKey ? store.redo() : store.undo()), y: () => store.redo(), d: () => tools.copy(), s: () => store.tell("save") };
    if (held[key]) {
      event.preventDefault();
      held[key]();
    }
  });
};
