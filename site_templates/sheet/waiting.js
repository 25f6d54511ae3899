/* Runs that wait in this browser while the preview does not answer.
   In: a run and its draft, as it is kept. Out: each sent once, under a mark made once, so that a
   repeated question writes nothing twice; what is refused stays here until it is mended or dropped. */
(function () {
  "use strict";

  const desk = window.desk;
  const PREFIX = "waiting run ";
  const AGAIN_MS = 5000;
  const PATIENCE_MS = 20000;
  const UNKNOWN_SESSION = 403;
  const place = document.querySelector("[data-waiting-runs]");
  let isSending = false;

  /* Made without randomUUID, which a page from the local network does not have. */
  function newMark() {
    return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  function entries() {
    return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX)).map((key) => JSON.parse(localStorage.getItem(key)))
      .sort((one, other) => one.since - other.since);
  }

  function put(entry) {
    localStorage.setItem(PREFIX + entry.mark, JSON.stringify(entry));
  }

  function drop(entry) {
    localStorage.removeItem(PREFIX + entry.mark);
    show();
  }

  function send(entry) {
    return desk.ask("keep", Object.assign({ mark: entry.mark }, entry.draft), PATIENCE_MS);
  }

  /* The answer to a run that was kept; null where it waits; a refusal is thrown, and nothing waits. */
  async function keep(run, draft) {
    const entry = { mark: newMark(), since: Date.now(), run: run, draft: draft, problem: "" };
    put(entry);
    try {
      const kept = await send(entry);
      drop(entry);
      return kept;
    } catch (error) {
      if (desk.isUnanswered(error)) {
        show();
        return null;
      }
      drop(entry);
      throw error;
    }
  }

  async function sendAll() {
    const waiting = entries().filter((entry) => !entry.problem);
    if (isSending || !waiting.length) {
      return;
    }
    isSending = true;
    try {
      for (const entry of waiting) {
        await sendAgain(entry);
      }
    } catch (error) {
      show(desk.isUnanswered(error) ? "" : desk.problem(error));
    }
    isSending = false;
  }

  /* A preview that was started anew does not know this page: the run waits for the page to be reloaded. */
  async function sendAgain(entry) {
    try {
      await send(entry);
      drop(entry);
    } catch (error) {
      if (desk.isUnanswered(error) || error.status === UNKNOWN_SESSION || error.status >= 500) {
        throw error;
      }
      put(Object.assign(entry, { problem: error.message }));
      show();
    }
  }

  function button(words, action) {
    const made = desk.element("button", "", words);
    made.type = "button";
    made.addEventListener("click", action);
    return made;
  }

  function line(entry) {
    const made = desk.element("p", "", entry.problem
      ? "Run " + entry.draft.rows[0].run + " was not kept: " + entry.problem + " "
      : "Run " + entry.draft.rows[0].run + " waits in this browser. It is sent once, as soon as the preview answers.");
    if (entry.problem) {
      made.append(
        button("Mend it", function () {
          document.dispatchEvent(new CustomEvent("trialpress-mend", { detail: entry }));
        }),
        " ",
        button("Drop it", () => drop(entry)));
    }
    return made;
  }

  function show(words) {
    place.replaceChildren(...entries().map(line), ...(words ? [desk.element("p", "", words)] : []));
  }

  function waits(run) {
    return entries().some((entry) => entry.draft.rows[0].run === run);
  }

  Object.assign(desk, { keepOnce: keep, waits: waits, letGo: drop });
  window.addEventListener("online", sendAll);
  document.addEventListener("trialpress-looked", sendAll);
  window.setInterval(sendAll, AGAIN_MS);
  show();
  sendAll();
}());
