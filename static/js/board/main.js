// The drawing board: opens the job, puts the parts together, and keeps them talking.

import { Chosen } from "./chosen.js";
import { Drawing } from "./drawing.js";
import { listen } from "./keys.js";
import { Keeper } from "./keeper.js";
import { Lists } from "./lists.js";
import { Live } from "./live.js";
import { Picture } from "./picture.js";
import { Pointer } from "./pointer.js";
import { Server } from "./server.js";
import { Sheet } from "./sheet.js";
import { html, readHere } from "./show.js";
import { Snap } from "./snap.js";
import { Store } from "./store.js";
import { Toolbar } from "./toolbar.js";
import { Tools } from "./tools.js";
import { View } from "./view.js";

const root = document.getElementById("board");
const said = document.getElementById("board-said");
const keptWords = document.getElementById("board-kept");
const CLOSED = ["handed over", "let go"];

const showClashes = (keeper, clashes) => {
  const box = document.getElementById("board-clashes");
  const side = (value) => (value === undefined ? "deleted" : JSON.stringify(value, null, 1));
  const rows = clashes.map((clash, at) => html("fieldset", {}, html("legend", {}, clash.at),
    html("label", { class: "tick" }, html("input", { type: "radio", name: `clash-${at}`, value: "mine", checked: true }), " Mine", html("pre", {}, side(clash.mine))),
    html("label", { class: "tick" }, html("input", { type: "radio", name: `clash-${at}`, value: "theirs" }), " Theirs", html("pre", {}, side(clash.theirs)))));
  const settle = (event) => {
    readHere(event);
    const theirs = new Set(clashes.map((_, at) => at).filter((at) => box.querySelector(`[name="clash-${at}"]:checked`).value === "theirs"));
    box.hidden = true;
    box.replaceChildren();
    keeper.settle(theirs);
  };
  box.hidden = false;
  box.replaceChildren(html("form", { onsubmit: settle }, html("h2", {}, "Somebody saved first"), ...rows, html("button", {}, "Use these and save")));
  box.querySelector("input").focus();
};

const start = async () => {
  const server = new Server(root.dataset.job);
  const answer = await server.open().catch(() => null);
  if (answer?.status !== 200) {
    said.textContent = "The job could not be read. Load the page again.";
    return;
  }
  const { version, document: job, kinds, materials, state, picture } = answer.body;
  const store = new Store();
  store.kinds = kinds;
  store.isClosed = CLOSED.includes(state);
  store.on("said", (words) => { said.textContent = words; });
  const keeper = new Keeper(store, server, root.dataset.job);
  store.on("kept", ({ state: at, words }) => {
    keptWords.textContent = words;
    keptWords.dataset.state = at;
  });
  store.on("clashes", (clashes) => showClashes(keeper, clashes));
  const begun = keeper.open(version, job);

  const view = new View(document.getElementById("board-drawing"));
  const drawing = new Drawing(store, view);
  const snap = new Snap(store, view);
  const tools = new Tools(store, view, drawing, snap);
  const fit = () => view.fit(drawing.extent());
  const sheet = new Sheet(store, server, tools, drawing);
  new Picture(store, server, drawing, picture);
  new Toolbar(store, server, tools);
  new Chosen(store, server, tools);
  new Lists(store, tools);
  new Pointer(store, view, tools);
  listen(store, view, tools, fit);
  const live = new Live(store, server);

  const press = (id, act) => document.getElementById(id).addEventListener("click", act);
  press("board-undo", () => store.undo());
  press("board-redo", () => store.redo());
  press("board-copy", () => tools.copy());
  press("board-delete", () => tools.remove());
  press("board-save", () => keeper.save());
  press("board-in", () => view.zoom(1.5));
  press("board-out", () => view.zoom(1 / 1.5));
  press("board-fit", fit);
  press("board-clear", () => { drawing.measures = []; drawing.renderDimensions(); });
  press("board-section", () => {
    const last = drawing.measures.at(-1);
    if (!last) {
      store.say("Measure between two spots first: the section runs along that line.");
      return;
    }
    const ends = new URLSearchParams({ start: last[0].join(", "), end: last[1].join(", ") });
    window.location.assign(`/jobs/${root.dataset.job}/section?${ends}`);
  });
  document.getElementById("board-several").addEventListener("change", (event) => { tools.several = event.target.checked; });
  sheet.offerMaterials(materials);
  store.on("document", () => sheet.offerMaterials(materials));

  store.on("fit", fit);
  drawing.render();
  fit();
  live.ask(0);
  if (begun === "kept") {
    keeper.changed();
    store.say("What you drew and did not save is here again.");
  } else if (begun !== "merged") {
    keeper.tell("saved", `Saved as version ${keeper.version}.`);
  } else if (keeper.clashes.length) {
    showClashes(keeper, keeper.clashes);
  }
  root.dataset.ready = "yes";
};

start();
