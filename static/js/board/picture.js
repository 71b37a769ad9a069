// A photo, an old drawing or a page of a PDF beneath the drawing, scaled by two spots measured on it.
// It stays in this browser: it is a help for drawing, no part of the job.

import { faultsOf } from "./server.js";
import { html, svg } from "./show.js";

const MOST_PHOTO = 8_000_000;
const MOST_PDF = 2_800_000;
const FIRST_SCALE = 50; // a page is laid down as if drawn 1 : 50

export class Picture {
  constructor(store, server, drawing) {
    Object.assign(this, { store, server, drawing });
    this.fault = html("p", { class: "fault", role: "status" });
    this.file = html("input", { id: "picture-file", type: "file", accept: "image/png,image/jpeg,image/webp,application/pdf", onchange: () => this.chosen() });
    this.page = html("input", { id: "picture-page", type: "number", min: "1", value: "1", onchange: () => this.chosen() });
    this.pageAsk = html("p", { class: "ask", hidden: true }, html("label", { for: "picture-page" }, "Page of the PDF"), this.page);
    this.wanted = html("input", { id: "picture-true", autocomplete: "off" });
    this.shown = html("p", { class: "row", hidden: true },
      html("label", { class: "tick", for: "picture-shown" }, html("input", { id: "picture-shown", type: "checkbox", checked: true, onchange: (event) => drawing.show("picture", event.target.checked) }), " Show the picture"),
      html("button", { type: "button", onclick: () => this.takeAway() }, "Take the picture away"));
    document.getElementById("board-picture").replaceChildren(
      html("p", { class: "ask" }, html("label", { for: "picture-file" }, "Photo, drawing or PDF beneath, not saved with the job"), this.file),
      this.pageAsk, this.fault,
      html("p", { class: "ask" }, html("label", { for: "picture-true" }, "The last measured length truly is"), this.wanted),
      html("p", { class: "row" }, html("button", { type: "button", onclick: () => this.scale() }, "Scale the picture")), this.shown);
  }

  say(words) {
    this.fault.replaceChildren(words);
  }

  chosen() {
    const [file] = this.file.files;
    const isPdf = file?.type === "application/pdf" || /\.pdf$/i.test(file?.name ?? "");
    if (file !== this.last) {
      this.last = file;
      this.page.value = "1";
    }
    this.pageAsk.hidden = !isPdf;
    if (!file || file.size > (isPdf ? MOST_PDF : MOST_PHOTO)) {
      this.say(isPdf ? "Choose a PDF of at most 2.8 MB." : "Choose a picture of at most 8 MB.");
      return;
    }
    this.say("");
    const reader = new FileReader();
    reader.addEventListener("load", () => (isPdf ? this.readPage(reader.result.split(",").pop()) : this.lay(reader.result)));
    reader.readAsDataURL(file);
  }

  async readPage(pdf) {
    this.say("The page is being drawn.");
    const answer = await this.server.page(pdf, Number(this.page.value) || 1).catch(() => null);
    if (answer?.status !== 200) {
      this.say(answer ? faultsOf(answer).join(" ") : "No connection: a PDF is drawn by the server.");
      return;
    }
    const { picture, wide, high, pages } = answer.body;
    this.page.max = String(pages);
    this.pageAsk.hidden = pages < 2;
    this.say("");
    this.lay(picture, [wide * FIRST_SCALE, high * FIRST_SCALE]);
    this.store.say(`Page ${this.page.value} of ${pages} lies beneath as if drawn 1 : ${FIRST_SCALE}. Measure a known length on it and scale it.`);
  }

  // At a known size, or as large as the roof.
  lay(url, size) {
    const image = new Image();
    image.addEventListener("error", () => this.say("This is not a picture that the browser can show."));
    image.addEventListener("load", () => {
      const [left, bottom, right, top] = this.drawing.extent();
      const scale = Math.max((right - left) / image.naturalWidth, (top - bottom) / image.naturalHeight);
      const [width, height] = size ?? [image.naturalWidth * scale, image.naturalHeight * scale];
      this.picture = svg("image", { href: url, x: left, y: -top, width, height, preserveAspectRatio: "none" });
      this.drawing.layers.picture.replaceChildren(this.picture);
      this.shown.hidden = false;
    });
    image.src = url;
  }

  takeAway() {
    this.drawing.layers.picture.replaceChildren();
    this.picture = null;
    this.shown.hidden = true;
    this.pageAsk.hidden = true;
    this.file.value = "";
  }

  // The first of the two spots stays where it is.
  async scale() {
    const last = this.drawing.measures.at(-1);
    const answer = await this.server.rows(["mm"], [[this.wanted.value.trim()]]).catch(() => null);
    const wanted = answer?.status === 200 ? answer.body.rows[0][0] : 0;
    if (!last || !this.picture || !(wanted > 0)) {
      this.say(answer && answer.status !== 200 ? faultsOf(answer)[0] : "Choose a picture, measure between two spots on it, and type how far apart they truly are.");
      return;
    }
    this.say("");
    const [a, b] = last;
    const factor = wanted / Math.hypot(b[0] - a[0], b[1] - a[1]);
    const get = (name) => Number(this.picture.getAttribute(name));
    const at = { x: a[0] + (get("x") - a[0]) * factor, y: -a[1] + (get("y") + a[1]) * factor, width: get("width") * factor, height: get("height") * factor };
    Object.entries(at).forEach(([name, value]) => this.picture.setAttribute(name, String(value)));
    this.drawing.measures = [];
    this.drawing.renderDimensions();
    this.store.say("The picture is scaled.");
  }
}
