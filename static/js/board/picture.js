// A photo, an old drawing or a page of a PDF beneath the drawing, scaled by two spots measured on it.
// It is kept with the job on the server: where it lies, how large, how much of it is seen.

import { roundSpot } from "./geometry.js";
import { faultsOf } from "./server.js";
import { html, inField, svg } from "./show.js";

const MOST_PDF = 2_800_000;
const LONGEST_PX = 2400;
const FAR = "No connection: the picture is kept by the server. Try again when it is back.";

const base64 = (blob) => new Promise((done, failed) => {
  const reader = new FileReader();
  reader.onload = () => done(reader.result.split(",").pop());
  reader.onerror = () => failed(reader.error);
  reader.readAsDataURL(blob);
});

// Made smaller here, so that it passes a bad connection; the server checks it again.
const smaller = async (file) => {
  const image = await createImageBitmap(file);
  const scale = Math.min(1, LONGEST_PX / Math.max(image.width, image.height));
  const canvas = html("canvas", { width: Math.max(1, Math.round(image.width * scale)), height: Math.max(1, Math.round(image.height * scale)) });
  const pen = canvas.getContext("2d");
  pen.fillStyle = "white";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(image, 0, 0, canvas.width, canvas.height);
  return canvas.toDataURL("image/jpeg", 0.85).split(",").pop();
};

const lyingOf = ({ left, top, wide, high, opacity }) => ({ left, top, wide, high, opacity });

export class Picture {
  constructor(store, server, drawing, kept) {
    Object.assign(this, { store, server, drawing });
    const button = (words, press, more = {}) => html("button", { type: "button", onclick: press, ...more }, words);
    const ask = (label, control) => html("p", { class: "ask" }, html("label", { for: control.id }, label), control);
    this.fault = html("p", { class: "fault", role: "status" });
    this.file = html("input", { id: "picture-file", type: "file", accept: "image/png,image/jpeg,image/webp,application/pdf", onchange: () => this.chosen() });
    this.page = html("input", { id: "picture-page", type: "number", min: "1", value: "1", onchange: () => this.chosen() });
    this.pageAsk = ask("Page of the PDF", this.page);
    this.pageAsk.hidden = true;
    this.truly = html("input", { id: "picture-true", autocomplete: "off" });
    this.corner = html("input", { id: "picture-corner", autocomplete: "off" });
    this.wide = html("input", { id: "picture-wide", autocomplete: "off" });
    this.seen = html("input", { id: "picture-seen", type: "range", min: "10", max: "100", step: "5", oninput: () => this.fade(), onchange: () => this.lay({ opacity: Number(this.seen.value) }, "The picture is fainter or stronger.") });
    this.back = button("Undo the last change of the picture", () => this.undo(), { hidden: true });
    this.tools = html("div", { hidden: true },
      ask("The last measured length truly is", this.truly),
      html("p", { class: "row" }, button("Scale the picture", () => this.scale()), button("Shift it along the last measure", () => this.shift())),
      ask("Upper left corner: x, y", this.corner), ask("Width", this.wide),
      html("p", { class: "row" }, button("Lay it there", () => this.typed())),
      ask("How much of it is seen", this.seen),
      html("p", { class: "row" },
        html("label", { class: "tick", for: "picture-shown" }, html("input", { id: "picture-shown", type: "checkbox", checked: true, onchange: (event) => this.look(event.target.checked) }), " Show the picture"),
        button("Take the picture away", () => this.takeAway())));
    document.getElementById("board-picture").replaceChildren(
      html("p", { class: "ask" }, html("label", { for: "picture-file" }, "Photo, drawing or PDF beneath"), this.file),
      this.pageAsk, this.fault, this.tools, html("p", { class: "row" }, this.back));
    this.show(kept);
  }

  say(words) {
    this.fault.replaceChildren(words);
  }

  // The answer of a question, or null with the reason said.
  async asked(question) {
    const answer = await question.catch(() => null);
    if (answer?.status === 200) {
      this.say("");
      return answer.body;
    }
    this.say(answer ? faultsOf(answer).join(" ") : FAR);
    return null;
  }

  async chosen() {
    const [file] = this.file.files;
    if (!file) {
      return;
    }
    const isPdf = file.type === "application/pdf" || /\.pdf$/i.test(file.name);
    if (file !== this.last) {
      this.last = file;
      this.page.value = "1";
    }
    this.pageAsk.hidden = !isPdf;
    if (isPdf && file.size > MOST_PDF) {
      this.say("Choose a PDF of at most 2.8 MB.");
      return;
    }
    const before = this.kept ? await this.held() : null;
    this.say("The picture is being sent.");
    let sent;
    try {
      sent = await (isPdf ? base64(file) : smaller(file));
    } catch {
      this.say("This is not a picture that the browser can show.");
      return;
    }
    const page = Number(this.page.value) || 1;
    const found = await this.asked(this.server.putPicture(sent, page));
    if (!found) {
      return;
    }
    this.changed(before ?? { nothing: true });
    this.show(found.picture);
    this.page.max = String(found.pages || 1);
    this.pageAsk.hidden = found.pages < 2;
    this.store.say(found.pages
      ? `Page ${page} of ${found.pages} lies beneath as if drawn 1 : 50. Measure a known length on it and scale it.`
      : "The picture lies beneath. Measure a known length on it and scale it.");
  }

  // What lies there now, so that it can be laid again.
  async held() {
    const bytes = await fetch(this.kept.address).then((answer) => (answer.ok ? answer.blob() : null)).catch(() => null);
    return bytes && { file: await base64(bytes), lying: lyingOf(this.kept) };
  }

  changed(before) {
    this.before = before;
    this.back.hidden = !before;
  }

  show(kept) {
    this.kept = kept;
    this.tools.hidden = !kept;
    this.look(document.getElementById("picture-shown").checked);
    if (!kept) {
      this.drawing.layers.picture.replaceChildren();
      this.pageAsk.hidden = true;
      this.file.value = "";
      this.last = null;
      return;
    }
    const { address, left, top, wide, high, opacity } = kept;
    const box = { href: address, x: left, y: -top, width: wide, height: high, opacity: opacity / 100, preserveAspectRatio: "none" };
    this.drawing.layers.picture.replaceChildren(svg("image", box));
    const { units } = this.store;
    this.corner.value = roundSpot([left, top]).map((value) => inField(value, "mm", units)).join(", ");
    this.wide.value = inField(Math.round(wide * 10) / 10, "mm", units);
    this.seen.value = String(opacity);
  }

  // Where a picture is seen the roof and what stands on it are drawn as lines.
  look(isShown) {
    this.drawing.show("picture", isShown);
    this.drawing.root.classList.toggle("has-picture", Boolean(this.kept) && isShown);
  }

  fade() {
    this.drawing.layers.picture.firstChild?.setAttribute("opacity", String(Number(this.seen.value) / 100));
  }

  async lay(change, words) {
    const before = lyingOf(this.kept);
    const found = await this.asked(this.server.layPicture({ ...before, ...change }));
    this.show(found ? found.picture : this.kept);
    if (found) {
      this.changed({ lying: before });
      this.store.say(words);
    }
    return Boolean(found);
  }

  async undo() {
    const { before } = this;
    let question;
    if (before.nothing) {
      question = this.server.takePicture();
    } else {
      question = before.file ? this.server.putPicture(before.file, 1, before.lying) : this.server.layPicture(before.lying);
    }
    const found = await this.asked(question);
    if (found) {
      this.changed(null);
      this.show(found.picture);
      this.store.say("The last change of the picture is undone.");
    }
  }

  async takeAway() {
    const before = await this.held();
    if (before && await this.asked(this.server.takePicture())) {
      this.show(null);
      this.changed(before);
      this.back.focus();
      this.store.say("The picture is taken away.");
    } else if (!before) {
      this.say(FAR);
    }
  }

  measured() {
    const last = this.drawing.measures.at(-1);
    if (!last) {
      this.say("Measure between two spots on the picture first.");
    }
    return last;
  }

  done() {
    this.drawing.measures = [];
    this.drawing.renderDimensions();
  }

  // The first of the two spots stays where it is.
  async scale() {
    const last = this.measured();
    const read = last && await this.asked(this.server.rows(["mm"], [[this.truly.value.trim()]]));
    if (!read) {
      return;
    }
    const truly = read.rows[0][0];
    if (!(truly > 0)) {
      this.say("Type how far apart the two spots truly are.");
      return;
    }
    const [a, b] = last;
    const factor = truly / Math.hypot(b[0] - a[0], b[1] - a[1]);
    const { left, top, wide, high } = this.kept;
    const box = { left: a[0] + (left - a[0]) * factor, top: a[1] + (top - a[1]) * factor, wide: wide * factor, high: high * factor };
    if (await this.lay(box, "The picture is scaled.")) {
      this.done();
    }
  }

  async shift() {
    const last = this.measured();
    if (last) {
      const [a, b] = last;
      const { left, top } = this.kept;
      if (await this.lay({ left: left + b[0] - a[0], top: top + b[1] - a[1] }, "The picture is shifted.")) {
        this.done();
      }
    }
  }

  async typed() {
    const row = [...this.corner.value.split(","), this.wide.value].map((text) => text.trim());
    const read = await this.asked(this.server.rows(["mm", "mm", "mm"], [row]));
    if (!read) {
      return;
    }
    const [left, top, wide] = read.rows[0];
    if (!(wide > 0)) {
      this.say("Give x and y of the corner, and a width.");
      return;
    }
    await this.lay({ left, top, wide, high: (this.kept.high * wide) / this.kept.wide }, "The picture is laid there.");
  }
}
