// A task moved along its days by mouse, finger or arrow keys. Nothing is set here: the server is asked what it
// would push and what binds it, and what it answers holds the form that sets it. Without this the table does.

const LEAD = 2; // the cells before the days: name and float
const QUIET_MS = 350;
const NEAR_EDGE_PX = 28;

const table = document.getElementById("days-across");
const look = document.getElementById("task-look");
const said = document.getElementById("move-said");
const columns = [...table.querySelectorAll("thead th[data-on]")].map((head) => ({
  on: head.dataset.on,
  off: head.classList.contains("off"),
  words: head.querySelector(".hidden-words").textContent,
  head,
}));

let moving = null; // the row being moved: where it lies, where it would
let asked = null; // the question under way
let waiting = 0;

const dayCell = (row, column) => row.cells[column + LEAD];

// The working day at a column, or the next one in a direction; -1 past the edge.
const workedFrom = (column, step) => {
  let at = column;
  while (columns[at]?.off) {
    at += step;
  }
  return columns[at] ? at : -1;
};

const clearGhost = () => table.querySelectorAll(".ghost").forEach((cell) => cell.classList.remove("ghost"));

const show = () => {
  clearGhost();
  let left = moving.count;
  for (let at = moving.at; left && columns[at]; at += 1) {
    if (!columns[at].off) {
      dayCell(moving.row, at).classList.add("ghost");
      left -= 1;
    }
  }
  said.textContent = `${moving.name}: ${columns[moving.at].words}`;
};

const begin = (row) => {
  if (moving?.row !== row) {
    const lies = row.lies;
    moving = { row, name: row.cells[0].textContent.trim(), first: lies[0], count: lies.length, at: lies[0] };
  }
};

const leave = () => {
  window.clearTimeout(waiting);
  asked?.abort();
  clearGhost();
  look.replaceChildren();
  said.textContent = moving ? `${moving.name}: left as it is` : "";
  moving = null;
};

const ask = async (fields, meet) => {
  window.clearTimeout(waiting);
  asked?.abort();
  const mine = new AbortController();
  asked = mine;
  try {
    const answer = await fetch(table.dataset.send, {
      method: "POST",
      body: new URLSearchParams(fields),
      headers: { "HX-Request": "true" },
      signal: mine.signal,
    });
    const text = await answer.text();
    if (!answer.ok) {
      look.replaceChildren();
      said.textContent = text.startsWith("<") ? "That did not work; load the page again." : text;
      return;
    }
    look.replaceChildren(...new DOMParser().parseFromString(text, "text/html").body.children);
    said.textContent = look.querySelector("p").textContent.trim();
    if (meet) {
      look.querySelector("h2").focus();
    }
  } catch (fault) {
    if (fault.name !== "AbortError") {
      said.textContent = "No connection; nothing was changed.";
    }
  }
};

const askForMoving = (meet) => {
  const token = document.querySelector("form.act input[type=hidden]");
  const fields = { [token.name]: token.value, code: moving.row.dataset.code, do: "look" };
  ask({ ...fields, move_to: columns[moving.at].on }, meet);
};

const columnAt = (x) => {
  const found = columns.findIndex(({ head }) => x < head.getBoundingClientRect().right);
  return found < 0 ? columns.length - 1 : found;
};

const makeDraggable = (row) => {
  let from = null;
  row.lies.forEach((column) => {
    const cell = dayCell(row, column);
    cell.classList.add("grip");
    cell.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) {
        return;
      }
      event.preventDefault();
      begin(row);
      from = column;
      cell.setPointerCapture(event.pointerId);
      cell.firstElementChild.closest("[tabindex]")?.focus();
    });
    cell.addEventListener("pointermove", (event) => {
      if (from === null) {
        return;
      }
      const box = table.parentElement;
      const edges = box.getBoundingClientRect();
      if (event.clientX > edges.right - NEAR_EDGE_PX) {
        box.scrollLeft += NEAR_EDGE_PX / 2;
      } else if (event.clientX < dayCell(row, 0).getBoundingClientRect().left + NEAR_EDGE_PX) {
        box.scrollLeft -= NEAR_EDGE_PX / 2;
      }
      const wanted = Math.max(0, moving.first + columnAt(event.clientX) - from);
      const at = workedFrom(Math.min(wanted, columns.length - 1), wanted < moving.first ? -1 : 1);
      if (at >= 0 && at !== moving.at) {
        moving.at = at;
        show();
      }
    });
    const end = (is_dropped) => {
      if (from === null) {
        return;
      }
      from = null;
      if (is_dropped && moving.at !== moving.first) {
        askForMoving(false);
      } else {
        leave();
      }
    };
    cell.addEventListener("pointerup", () => end(true));
    cell.addEventListener("pointercancel", () => end(false));
  });
};

const makeKeyed = (row) => {
  const handle = dayCell(row, row.lies[0]).firstElementChild;
  const first = columns[row.lies[0]].words;
  const last = columns[row.lies[row.lies.length - 1]].words;
  handle.tabIndex = 0;
  handle.setAttribute("role", "button");
  handle.setAttribute("aria-label", `Move ${row.cells[0].textContent.trim()}, ${first} to ${last}`);
  handle.setAttribute("aria-describedby", "move-help");
  handle.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (step) {
      event.preventDefault();
      begin(row);
      const at = workedFrom(moving.at + step, step);
      if (at < 0) {
        said.textContent = "Further than these days reach; set the day in the table below.";
        return;
      }
      moving.at = at;
      show();
      dayCell(row, at).scrollIntoView({ block: "nearest", inline: "nearest" });
      window.clearTimeout(waiting);
      waiting = window.setTimeout(() => askForMoving(false), QUIET_MS);
    } else if ((event.key === "Enter" || event.key === " ") && moving?.row === row) {
      event.preventDefault();
      askForMoving(true);
    } else if (event.key === "Escape" && moving) {
      event.preventDefault();
      leave();
    }
  });
};

look.addEventListener("click", (event) => {
  const other = event.target.closest("button[value^=look]");
  if (other) {
    event.preventDefault();
    ask(new FormData(other.form, other), true);
  } else if (event.target.closest(".leave")) {
    event.preventDefault();
    const row = moving?.row;
    leave();
    (row ? dayCell(row, row.lies[0]).firstElementChild : table.parentElement).focus();
  }
});

for (const row of table.querySelectorAll("tbody tr[data-code]")) {
  row.lies = columns.map((_, at) => at).filter((at) => dayCell(row, at).firstElementChild);
  if (row.lies.length) {
    makeDraggable(row);
    makeKeyed(row);
  }
}
document.getElementById("move-help").hidden = false;
