// Asks the browser to keep this job's page for notes and day sheet for a time without a connection.
"use strict";

(() => {
  const found = window.location.pathname.match(/^\/jobs\/\d+/);
  if (!found || !navigator.serviceWorker) {
    return;
  }
  const pages = [`${found[0]}/notes`, `${found[0]}/day-sheet`];
  navigator.serviceWorker
    .register("/roof-worker.js", { scope: "/jobs/" })
    .then(() => navigator.serviceWorker.ready)
    .then((ready) => ready.active.postMessage({ keep: pages }))
    .catch(() => {
      // A browser that keeps no pages still keeps the notes.
    });
})();
