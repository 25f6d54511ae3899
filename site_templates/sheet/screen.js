/* The screen at the bench: what is typed on the bench sheet, for a camera or a capture.
   In: what the preview says of the run being typed, asked for again and again.
   Out: words, figures and a bracket of places. Keys hide and show. Nothing is stored. */
(function () {
  "use strict";

  const ASK_MS = 150;
  const find = (name) => document.querySelector("[data-" + name + "]");
  const isAsked = window.location.search.slice(1).split("&").includes("embargoed");
  let shown = { count: -1 };
  let isStandingOn = true;

  async function follow() {
    try {
      const answer = await fetch("/screen/state" + (isAsked ? "?embargoed" : ""));
      const state = await answer.json();
      if (answer.ok && state.count !== shown.count) {
        shown = state;
        draw();
      }
    } catch {
      // The preview was stopped: what is there stays, and the next one is asked again.
    }
    setTimeout(follow, ASK_MS);
  }

  function draw() {
    const isRun = Boolean(shown.name);
    find("now").hidden = !isRun;
    if (shown.is_hidden) {
      find("keys").textContent = "This set-up is under embargo. To film it all the same, add ?embargoed to the address.";
    }
    find("keys").hidden = isRun;
    find("stands").hidden = !(isRun && isStandingOn && shown.stands);
    if (!isRun) {
      return;
    }
    find("title").textContent = shown.title;
    find("name").textContent = shown.name;
    find("cells").replaceChildren(...shown.cells.map(cell));
    find("share").hidden = !shown.value;
    find("value").textContent = shown.value || "";
    find("uncertainty").textContent = shown.uncertainty || "";
    if (shown.stands) {
      drawStanding(shown.stands);
    }
  }

  function element(tag, words) {
    const made = document.createElement(tag);
    made.textContent = words;
    return made;
  }

  function cell([what, figure, unit]) {
    const group = document.createElement("div");
    const value = element("dd", figure);
    value.append(" ", element("small", unit));
    group.append(element("dt", what), value);
    return group;
  }

  function drawStanding(stands) {
    find("mean").textContent = "With this run: " + stands.mean;
    find("basis").textContent = [stands.interval, stands.runs].filter(Boolean).join(", ");
    const range = stands.place_best === stands.place_worst
      ? "and no other place"
      : "could be places " + stands.place_best + " to " + stands.place_worst;
    find("places").textContent = "Place " + stands.place + " of " + stands.ranked + " by mean, " + range;
    const step = 100 / stands.ranked;
    const places = Array.from({ length: stands.ranked }, function (_, i) {
      const tick = document.createElement("i");
      tick.className = i + 1 === stands.place ? "own" : "";
      tick.style.left = step * (i + 0.5) + "%";
      return tick;
    });
    const bracket = document.createElement("b");
    bracket.style.left = step * (stands.place_best - 1) + "%";
    bracket.style.width = step * (stands.place_worst - stands.place_best + 1) + "%";
    find("ruler").replaceChildren(bracket, ...places);
  }

  const KEYS = {
    h: function () { find("screen").hidden = !find("screen").hidden; },
    s: function () { isStandingOn = !isStandingOn; draw(); },
    g: function () {
      const body = document.body;
      body.dataset.ground = body.dataset.ground === "paper" ? "none" : "paper";
    },
    d: function () {
      const root = document.documentElement;
      root.dataset.theme = root.dataset.theme === "dark" ? "light" : "dark";
    },
    k: function () { find("keys").hidden = !find("keys").hidden; },
  };

  document.addEventListener("keydown", function (event) {
    const act = KEYS[event.key.toLowerCase()];
    if (act && !event.ctrlKey && !event.metaKey && !event.altKey) {
      act();
    }
  });
  follow();
}());
