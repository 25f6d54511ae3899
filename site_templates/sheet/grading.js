/* Grading by photos without names.
   In: what there is to grade; one photo after the other, known by its number. Out: grades, and at the end whose they were. */
(function () {
  "use strict";

  const { ask, element, isUnanswered } = window.desk;
  const find = (name) => document.querySelector("[data-" + name + "]");
  const WORDS = ["clean", "", "", "", "heavily soiled"];
  let sitting = null;
  let number = 0;
  let photos = 0;
  let given = [];
  let isBusy = false;
  let isSeen = false;

  /* A grade waits for no network: the key is pressed again. Grades given before are with the preview. */
  function problem(error) {
    return isUnanswered(error)
      ? "The preview does not answer, so nothing was noted: look whether the network is there and the preview still runs, then press again."
      : error.message;
  }

  function say(words) {
    find("status").textContent = words;
  }

  async function offer() {
    const { protocols } = await ask("offer", {});
    const ready = protocols.filter((item) => item.runs);
    find("protocol").replaceChildren(...ready.map((item) =>
      new Option(item.protocol + ", version " + item.version + " (" + item.runs + (item.runs === 1 ? " run" : " runs") + " with photos)", item.protocol + " " + item.version)));
    const graders = [...new Set(protocols.flatMap((item) => item.graders))];
    find("graders").replaceChildren(...graders.map((name) => new Option(name, name)));
    find("pick").querySelector("button").disabled = !ready.length;
    if (!ready.length) {
      say("There is nothing to grade by photos yet: a graded run needs a photo of each of its zones, with the zone, in its day’s photos.csv.");
    }
  }

  async function begin(event) {
    event.preventDefault();
    const [protocol, version] = find("protocol").value.split(" ");
    try {
      const begun = await ask("begin", { protocol: protocol, version: version, grader: find("grader").value.trim() });
      sitting = begun.sitting;
      photos = begun.photos;
      number = 0;
      given = [];
      find("ended").hidden = true;
      find("pick").hidden = true;
      find("looking").hidden = false;
      show();
      find("count").focus();
    } catch (error) {
      say(problem(error));
    }
  }

  /* A photo takes its time: until it is there nothing is shown and nothing can be graded. */
  function show() {
    say("");
    isSeen = false;
    find("photo").dataset.coming = "";
    find("count").textContent = (number + 1) + " of " + photos;
    find("photo").src = "/grading/photo?sitting=" + sitting + "&number=" + number;
    [...find("grades").children].forEach((button, grade) => button.setAttribute("aria-pressed", String(given[number] === grade)));
  }

  async function grade(value) {
    if (isBusy || !isSeen || find("looking").hidden) {
      return;
    }
    isBusy = true;
    try {
      await ask("grade", { sitting: sitting, number: number, grade: value });
      given[number] = value;
      if (number + 1 < photos) {
        number += 1;
        show();
      } else {
        await finish();
      }
    } catch (error) {
      say(problem(error));
    }
    isBusy = false;
  }

  async function finish() {
    const end = await ask("finish", { sitting: sitting });
    find("looking").hidden = true;
    find("pick").hidden = false;
    find("ended").hidden = false;
    find("kept").replaceChildren(...end.kept.map(function (run) {
      const row = document.createElement("tr");
      row.append(element("td", "", run.setup), element("td", "", run.run), element("td", "", run.grades));
      return row;
    }));
    const left = end.left ? [end.left + (end.left === 1 ? " run is" : " runs are") + " not graded whole and not written."] : [];
    find("told").replaceChildren(
      ...[...end.agreement, ...end.refused.map((run) => run.run + ": " + run.why), ...left].map((words) => element("p", "", words)));
    find("end-title").focus();
    await offer().catch((error) => say(problem(error)));
    say(end.kept.length + (end.kept.length === 1 ? " run" : " runs") + " written.");
  }

  find("photo").addEventListener("load", function () {
    delete find("photo").dataset.coming;
    isSeen = true;
  });
  find("photo").addEventListener("error", function () {
    say("This photo cannot be shown, so it cannot be graded: look whether the preview still runs and the file still lies in its day’s folder. Stop here writes the runs graded whole.");
  });

  find("grades").replaceChildren(...WORDS.map(function (words, value) {
    const button = element("button", "", words);
    button.type = "button";
    button.prepend(element("b", "", String(value)));
    button.addEventListener("click", () => grade(value));
    return button;
  }));
  find("pick").addEventListener("submit", begin);
  find("stop").addEventListener("click", () => finish().catch((error) => say(problem(error))));
  document.addEventListener("keydown", function (event) {
    if (find("looking").hidden || event.repeat || event.altKey || event.ctrlKey || event.metaKey) {
      return;
    }
    if (/^[0-4]$/.test(event.key)) {
      event.preventDefault();
      grade(Number(event.key));
    } else if (event.key === "Backspace" && number > 0) {
      event.preventDefault();
      number -= 1;
      show();
    }
  });
  offer().catch((error) => say(problem(error)));
}());
