// Small courtesies; every page works without them.
"use strict";

(() => {
  // After a refused save the summary of faults is read first.
  const meetSummary = () => {
    const summary = document.getElementById("summary");
    if (summary) {
      summary.focus();
    }
  };

  // The open tab of the numbered edge comes into view on a narrow screen.
  const showOpenTab = () => {
    const open = document.querySelector(".edge [aria-current='page']");
    const edge = document.querySelector(".edge");
    if (open && edge && edge.scrollWidth > edge.clientWidth) {
      edge.scrollLeft = open.offsetLeft - edge.clientWidth / 3;
    }
  };

  // After a row was added its first field is met; after one was taken out, its list.
  let pressed = "";
  const meetRow = () => {
    const [verb, place] = pressed.split(":");
    pressed = "";
    const list = place && document.getElementById(`f-${place.replace(/\[\d+\]$/, "").replace(/[^A-Za-z0-9]+/g, "-")}`);
    if (!list) {
      return false;
    }
    const rows = list.querySelectorAll(":scope > .table-box > table > tbody > tr, :scope > fieldset");
    const field = verb === "add" && rows.length && rows[rows.length - 1].querySelector("input, select");
    (field || list).focus();
    return true;
  };

  // A form is sent once; the server checks as well.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented && !form.matches("[data-hx-post]")) {
      return;
    }
    if (form.dataset.sending) {
      event.preventDefault();
      event.stopImmediatePropagation();
      return;
    }
    form.dataset.sending = "yes";
    pressed = event.submitter?.name === "do" ? event.submitter.value : "";
    event.submitter?.setAttribute("aria-disabled", "true");
    window.setTimeout(() => free(form), 10000);
  }, true);

  const free = (form) => {
    delete form.dataset.sending;
    form.querySelectorAll("[aria-disabled]").forEach((button) => button.removeAttribute("aria-disabled"));
  };

  // The browser's back button must not find a form that thinks it is being sent.
  window.addEventListener("pageshow", () => document.querySelectorAll("form").forEach(free));

  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-copy]");
    const text = button && document.getElementById(button.dataset.copy)?.textContent.trim();
    if (text && navigator.clipboard) {
      navigator.clipboard.writeText(text).then(() => {
        button.textContent = "Copied";
      });
    }
  });

  document.addEventListener("htmx:after:swap", () => {
    document.querySelectorAll("form").forEach(free);
    if (!meetRow()) {
      meetSummary();
    }
    showOpenTab();
  });

  // Whoever signs out, or has yet to sign in, leaves no page of a job on the device.
  const dropKeptPages = () => window.caches?.delete("roof-pages");
  document.addEventListener("submit", (event) => {
    if (event.target.getAttribute("action") === "/sign-out") {
      dropKeptPages();
    }
  }, true);
  if (window.location.pathname.startsWith("/sign-in")) {
    dropKeptPages();
  }

  meetSummary();
  showOpenTab();
})();
