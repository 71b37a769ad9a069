// Tells the firm which parts of the page were looked at, each once. Without this file nothing is told.
"use strict";

(() => {
  const parts = document.querySelectorAll("[data-seen]");
  const token = document.querySelector("input[name='form_token']");
  if (!parts.length || !token || !("IntersectionObserver" in window)) {
    return;
  }
  const told = new Set();
  const tell = (part) => {
    if (told.has(part)) {
      return;
    }
    told.add(part);
    const form = new URLSearchParams({ form_token: token.value, part });
    fetch("/offer/seen", { method: "POST", body: form, keepalive: true, credentials: "same-origin" }).catch(() => {});
  };
  const watch = new IntersectionObserver((entries) => {
    entries.filter((one) => one.isIntersecting).forEach((one) => tell(one.target.dataset.seen));
  }, { threshold: 0.25 });
  parts.forEach((part) => watch.observe(part));
})();
