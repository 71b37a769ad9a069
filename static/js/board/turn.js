// The view of the whole follows its sliders and the hand that drags it; without this the button does.

const form = document.getElementById("view-form");
const answer = document.getElementById("view-answer");
const turn = document.getElementById("view-turn");
const tilt = document.getElementById("view-tilt");
let asked = null;
let isAsking = false;

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

form.addEventListener("input", look);

let from = null;
answer.addEventListener("pointerdown", (event) => {
  from = [event.clientX, event.clientY, Number(turn.value), Number(tilt.value)];
  answer.setPointerCapture(event.pointerId);
});
answer.addEventListener("pointermove", (event) => {
  if (!from) {
    return;
  }
  turn.value = String((((from[2] - (event.clientX - from[0]) * 0.4) % 360) + 360) % 360);
  tilt.value = String(from[3] + (event.clientY - from[1]) * 0.3);
  look();
});
["pointerup", "pointercancel"].forEach((name) => answer.addEventListener(name, () => { from = null; }));
