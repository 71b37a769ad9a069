// The view of the whole follows its sliders and the hand that drags it; without this the button does.
// Where the browser can draw in space the view is turned here, else the server draws each turn.

const form = document.getElementById("view-form");
const answer = document.getElementById("view-answer");
const turn = document.getElementById("view-turn");
const tilt = document.getElementById("view-tilt");
const box = document.getElementById("view-solid");
const canvas = document.getElementById("view-canvas");
const inSpace = document.getElementById("view-in-space");
const said = document.getElementById("view-said");
const STILL_PX = 5;
let solid = null;
let asked = null;
let isAsking = false;

const drawn = () => answer.querySelector("figure, svg")?.closest("figure") ?? answer.querySelector("svg");
const isSolid = () => solid && inSpace.checked;

// One question at a time; the newest wish is asked next.
const look = async () => {
  if (isAsking) {
    asked = true;
    return;
  }
  isAsking = true;
  try {
    do {
      asked = false;
      const got = await fetch(`${form.action}?${new URLSearchParams(new FormData(form))}`);
      if (got.ok) {
        const page = new DOMParser().parseFromString(await got.text(), "text/html");
        answer.replaceChildren(...document.importNode(page.getElementById("view-answer"), true).childNodes);
      }
    } while (asked);
  } finally {
    isAsking = false;
  }
};

const model = async () => {
  const got = await fetch(`/api/jobs/${box.dataset.job}/view?${new URLSearchParams({ on: form.elements.on?.value ?? "", hour: form.elements.hour?.value ?? "" })}`);
  return got.ok ? got.json() : null;
};

const seen = (isNewSun) => {
  if (!isSolid()) {
    look();
    return;
  }
  solid.look(Number(turn.value), Number(tilt.value));
  if (isNewSun) {
    model().then((found) => {
      if (found) {
        solid.shine(found.sun);
        answer.querySelector("[role=status]").textContent = found.words;
      }
    });
  }
};

form.addEventListener("input", (event) => seen(event.target.type !== "range"));

let from = null;
const grasp = (event) => {
  from = { x: event.clientX, y: event.clientY, turn: Number(turn.value), tilt: Number(tilt.value), isFar: false };
  event.currentTarget.setPointerCapture(event.pointerId);
};
const pull = (event) => {
  if (!from) {
    return;
  }
  from.isFar ||= Math.hypot(event.clientX - from.x, event.clientY - from.y) > STILL_PX;
  if (from.isFar) {
    turn.value = String((((from.turn - (event.clientX - from.x) * 0.4) % 360) + 360) % 360);
    tilt.value = String(from.tilt + (event.clientY - from.y) * 0.3);
    seen(false);
  }
};
const leave = (event) => {
  if (from && !from.isFar && event.type === "pointerup" && event.currentTarget === canvas) {
    const frame = canvas.getBoundingClientRect();
    solid.press(event.clientX - frame.left, event.clientY - frame.top);
  }
  from = null;
};
for (const one of [answer, canvas]) {
  one.addEventListener("pointerdown", grasp);
  one.addEventListener("pointermove", pull);
  ["pointerup", "pointercancel"].forEach((name) => one.addEventListener(name, leave));
}

const STEPS = { ArrowLeft: [turn, -5], ArrowRight: [turn, 5], ArrowUp: [tilt, 5], ArrowDown: [tilt, -5] };
canvas.addEventListener("keydown", (event) => {
  if (STEPS[event.key]) {
    event.preventDefault();
    const [slider, by] = STEPS[event.key];
    slider.value = String(slider === turn ? (Number(turn.value) + by + 360) % 360 : Number(slider.value) + by);
    seen(false);
  } else if (event.key === "+" || event.key === "-") {
    solid.near(event.key === "+" ? 1.2 : 1 / 1.2);
  }
});
document.getElementById("view-nearer").addEventListener("click", () => solid.near(1.25));
document.getElementById("view-farther").addEventListener("click", () => solid.near(1 / 1.25));
canvas.addEventListener("wheel", (event) => {
  if (event.ctrlKey || document.activeElement === canvas) {
    event.preventDefault();
    solid.near(Math.exp(-event.deltaY * 0.0015));
  }
}, { passive: false });

const show = () => {
  canvas.hidden = !isSolid();
  said.hidden = !isSolid();
  drawn()?.toggleAttribute("hidden", isSolid());
  if (isSolid()) {
    seen(false);
  } else {
    look();
  }
};

const begin = async () => {
  const found = await model();
  if (!found || !document.createElement("canvas").getContext("webgl2")) {
    return;
  }
  const { Solid } = await import("./solid.js");
  box.hidden = false;
  try {
    solid = new Solid(canvas, found, (words) => { said.textContent = words; });
  } catch {
    box.hidden = true; // the server's drawing stays
    return;
  }
  inSpace.addEventListener("change", show);
  show();
  canvas.dataset.ready = "yes";
};

begin();
