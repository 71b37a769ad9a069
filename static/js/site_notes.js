// Notes from the roof wait on the device until the server has them: each once, in the order they were made.
"use strict";

(() => {
  const form = document.getElementById("site-note");
  const waiting = document.getElementById("notes-waiting");
  const list = document.getElementById("notes-list");
  if (!form || !window.indexedDB) {
    return;
  }
  const STORE = "notes";
  const AGAIN_MS = 20000;
  const LONGEST_PX = 1600;

  const opened = new Promise((done, failed) => {
    const asked = indexedDB.open("upstand-notes", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(STORE, { keyPath: "place", autoIncrement: true });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });

  const inStore = async (mode, act) => {
    const db = await opened;
    return new Promise((done, failed) => {
      const change = db.transaction(STORE, mode);
      const asked = act(change.objectStore(STORE));
      change.oncomplete = () => done(asked.result);
      change.onerror = () => failed(change.error);
      change.onabort = () => failed(change.error);
    });
  };
  const all = () => inStore("readonly", (store) => store.getAll());
  const put = (note) => inStore("readwrite", (store) => store.put(note));
  const drop = (place) => inStore("readwrite", (store) => store.delete(place));

  const newKey = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  };

  // The photo is made smaller here, so that it passes a bad connection; the server checks it again.
  const smaller = async (file) => {
    const picture = await createImageBitmap(file);
    const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
    const canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(picture.width * scale));
    canvas.height = Math.max(1, Math.round(picture.height * scale));
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    return canvas.toDataURL("image/jpeg", 0.8).split(",")[1];
  };

  const show = async (words) => {
    const notes = (await all()).filter((note) => note.to === form.dataset.send);
    const count = notes.length;
    waiting.textContent = words || (count ? `${count} ${count === 1 ? "note waits" : "notes wait"} on this device.` : "");
    list.replaceChildren(...notes.map((note) => {
      const line = document.createElement("li");
      line.textContent = `${note.body.on} ${note.body.kind}: ${note.body.text || note.body.task || "photo"}`;
      if (note.refused) {
        line.append(` – not taken: ${note.refused} `);
        const button = document.createElement("button");
        button.type = "button";
        button.className = "quiet";
        button.textContent = "Throw it away";
        button.addEventListener("click", async () => { await drop(note.place); await show(); });
        line.append(button);
      }
      return line;
    }));
  };

  const sendOne = async (note) => {
    const answer = await fetch(note.to, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(note.body),
      redirect: "error",
    });
    const said = (answer.headers.get("content-type") || "").includes("json") ? await answer.json() : {};
    if (answer.ok && said.key === note.body.key) {
      await drop(note.place);
      return true;
    }
    if (answer.status === 422 && said.error) {
      await put({ ...note, refused: said.error.text });
      return true;
    }
    throw new Error(answer.status === 401 ? "Sign in again; the notes wait." : "The notes wait for the server.");
  };

  let isSending = false;
  const sendAll = async () => {
    if (isSending) {
      return;
    }
    isSending = true;
    let sent = 0;
    try {
      for (;;) {
        const next = (await all()).find((note) => !note.refused);
        if (!next) {
          break;
        }
        await sendOne(next);
        sent += 1;
        await show();
      }
      await show();
      if (sent) {
        waiting.textContent = `${sent === 1 ? "The note is" : `${sent} notes are`} sent.`;
      }
    } catch (fault) {
      await show();
      if (fault.message.includes("wait")) {
        waiting.textContent += ` ${fault.message}`;
      }
    } finally {
      isSending = false;
    }
  };
  // Two pages of one device must not send at the same time.
  const send = () => (navigator.locks ? navigator.locks.request("upstand-notes", sendAll) : sendAll());

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    event.stopImmediatePropagation();
    const typed = new FormData(form);
    const body = { key: newKey() };
    for (const name of ["kind", "on", "person", "hours", "task", "done_pct", "text"]) {
      body[name] = typed.get(name) || "";
    }
    body.before_cover = typed.get("before_cover") === "yes";
    const file = typed.get("picture");
    try {
      if (file && file.size) {
        body.picture = await smaller(file);
      }
    } catch {
      waiting.textContent = "This photo cannot be read; choose a JPEG, PNG or WebP.";
      return;
    }
    await put({ to: form.dataset.send, body });
    for (const name of ["hours", "done_pct", "text", "picture"]) {
      form.elements[name].value = "";
    }
    form.elements.before_cover.checked = false;
    await show();
    await send();
  }, true);

  window.addEventListener("online", send);
  window.setInterval(send, AGAIN_MS);
  show().then(send);
})();
