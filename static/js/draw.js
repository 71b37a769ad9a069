// A signature drawn by finger, pen or mouse, beside the typed name. Without this file the name alone signs.
"use strict";

(() => {
  const start = (box) => {
    const pad = box.querySelector("svg");
    const path = pad.querySelector("path");
    const field = box.querySelector("input[name='drawn']");
    let strokes = "";
    let isDown = false;
    const at = (event) => {
      const area = pad.getBoundingClientRect();
      const x = Math.round(((event.clientX - area.left) / area.width) * 600);
      const y = Math.round(((event.clientY - area.top) / area.height) * 200);
      return `${Math.max(0, Math.min(600, x))},${Math.max(0, Math.min(200, y))}`;
    };
    const add = (mark, event) => {
      if (strokes.length < 30000) {
        strokes += mark + at(event);
        path.setAttribute("d", strokes);
        field.value = strokes;
      }
    };
    pad.addEventListener("pointerdown", (event) => {
      isDown = true;
      pad.setPointerCapture(event.pointerId);
      add("M", event);
      event.preventDefault();
    });
    pad.addEventListener("pointermove", (event) => {
      if (isDown) {
        add("L", event);
      }
    });
    ["pointerup", "pointercancel"].forEach((name) => pad.addEventListener(name, () => {
      isDown = false;
    }));
    box.querySelector("[data-clear]").addEventListener("click", () => {
      strokes = "";
      path.setAttribute("d", "");
      field.value = "";
    });
    box.hidden = false;
  };

  const meet = () => document.querySelectorAll("[data-draw][hidden]").forEach(start);
  document.addEventListener("htmx:after:swap", meet);
  meet();
})();
