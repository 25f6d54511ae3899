/* What the preview has to tell: findings and cells of the file just saved; then the new page.
   In: events from /sheet/events. Out: a bar at the foot of the page; a reload when the site is new. */
(function () {
  "use strict";

  const onSheet = document.body.classList.contains("on-sheet");
  const bar = document.createElement("aside");
  bar.className = "live";
  bar.setAttribute("aria-label", "Preview");
  const state = document.createElement("p");
  state.className = "live-state";
  const words = document.createElement("span");
  words.setAttribute("role", "status");
  const mark = document.querySelector('meta[name="trialpress-preview"]')?.content;
  const old = mark === "old"
    ? " These pages are from an earlier build; new ones are being built."
    : "";
  let found = "";
  let pages = ""; // what is said of the pages while a site is being built
  words.textContent = "Preview: reading the data." + old;
  state.append(words);
  if (!onSheet) {
    const sheet = document.createElement("a");
    sheet.href = "/sheet";
    sheet.textContent = "Bench sheet";
    state.append(sheet);
  }
  const list = document.createElement("ul");
  list.hidden = true;
  bar.append(state, list);
  document.body.append(bar);

  function counted(n, noun) {
    return n + " " + noun + (n === 1 ? "" : "s");
  }

  function line(where, text) {
    const item = document.createElement("li");
    if (where) {
      const place = document.createElement("span");
      place.className = "where";
      place.textContent = where + ": ";
      item.append(place);
    }
    item.append(text);
    return item;
  }

  function findingLine(finding) {
    const row = finding.row === null ? "" : ", row " + finding.row;
    const column = finding.column === null ? "" : ", " + finding.column;
    const kind = finding.severity === "error" ? "Fault: " : "Warning: ";
    return line(finding.file + row + column, kind + finding.problem + ". " + finding.remedy);
  }

  function looked(event) {
    found = event.errors
      ? "Preview: " + counted(event.errors, "fault") + ". The site stays as it was." +
        (old && " It is from an earlier build.")
      : "Preview: no faults, " + counted(event.warnings, "warning") + "." + old;
    words.textContent = found + pages;
    const errors = event.findings.filter((finding) => finding.severity === "error");
    list.replaceChildren(
      ...errors.map(findingLine),
      ...event.cells.map((cell) => line("", cell)));
    list.hidden = !list.children.length;
  }

  function tell(more) {
    pages = more;
    words.textContent = (found || "Preview:") + pages;
  }

  /* The page in view comes first, with its data; it is shown at once, and needs no other reload. */
  function followBuild(event) {
    const isShown = mark === "ahead " + event.build;
    const path = decodeURIComponent(window.location.pathname).slice(1);
    if (event.kind === "building") {
      tell(old ? "" : " The pages are being made.");
    } else if (event.kind === "ahead" && isShown) {
      tell(" This page is new; the others are being made.");
    } else if (event.kind === "ahead" && [path, path + "index.html"].includes(event.words)) {
      window.location.reload();
    } else if (event.kind === "built" && isShown) {
      tell(" All pages are new.");
    } else if (event.kind === "built") {
      window.location.reload();
    }
  }

  const events = new EventSource("/sheet/events");
  events.onmessage = function (message) {
    const event = JSON.parse(message.data);
    document.dispatchEvent(new CustomEvent("trialpress-" + event.kind, { detail: event }));
    if (event.kind === "looked") {
      looked(event);
    } else if (event.kind === "failed") {
      words.textContent = "Preview: " + event.words;
    } else if (!onSheet) {
      followBuild(event);
    }
  };
  events.onerror = function () {
    words.textContent = "Preview: stopped, or starting anew.";
  };
}());
