// The few questions the board asks the server. Offline is an answer too.

export class Offline extends Error {}

export class Server {
  constructor(job) {
    this.path = `/api/jobs/${job}/board`;
  }

  // {status, body}; Offline when the server cannot be reached.
  async ask(method, path, body, signal) {
    const options = { method, signal, headers: { accept: "application/json" }, cache: "no-store" };
    if (body !== undefined) {
      options.headers["content-type"] = "application/json";
      options.body = JSON.stringify(body);
    }
    let answer;
    try {
      answer = await fetch(this.path + path, options);
    } catch (cause) {
      if (cause.name === "AbortError") {
        throw cause;
      }
      throw new Offline("The server cannot be reached.", { cause });
    }
    if ([502, 503, 504].includes(answer.status)) {
      throw new Offline("The server cannot be reached.");
    }
    return { status: answer.status, body: await answer.json().catch(() => ({})) };
  }

  open() {
    return this.ask("GET", "");
  }

  look(document, signal) {
    return this.ask("POST", "/look", { document }, signal);
  }

  save(version, document) {
    return this.ask("PUT", "", { version, document });
  }

  walk(text, start) {
    return this.ask("POST", "/walk", { text, start });
  }

  materials(job) {
    return this.ask("GET", `/materials/${job}`);
  }

  dxf(text, unit) {
    return this.ask("POST", "/dxf", { text, unit });
  }

  // A feature wall folded up into its elevation, as SVG.
  wall(document, wall) {
    return this.ask("POST", "/wall", { document, wall });
  }

  // The picture beneath: a photo or a page of a PDF in base64, where it lies, and away with it.
  putPicture(file, page, lying) {
    return this.ask("POST", "/picture", { file, page, lying });
  }

  layPicture(lying) {
    return this.ask("PUT", "/picture", lying);
  }

  takePicture() {
    return this.ask("POST", "/picture/remove", {});
  }

  values(place, values) {
    return this.ask("POST", "/read", { place, values });
  }

  // Rows of typed lengths; plain numbers are read here, so that they also work without a connection.
  async rows(columns, rows) {
    const isPlain = rows.every((row) => row.length <= columns.length && row.every((text) => /^-?\d+(\.\d+)?$/.test(text)));
    if (isPlain) {
      return { status: 200, body: { rows: rows.map((row) => row.map(Number)) } };
    }
    return this.ask("POST", "/read", { columns, rows });
  }
}

// The sentences of a refusal.
export const faultsOf = (answer) =>
  answer.body.error?.faults?.map((fault) => fault.wanted) ?? [answer.body.error?.text ?? "That could not be read."];
