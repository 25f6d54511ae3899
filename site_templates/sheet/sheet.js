/* The bench sheet: one run at a time, from the fields to a row on the disk.
   In: what the preview offers. Out: a draft to judge with every field, and rows to keep.
   What is typed stays in this browser until the row is kept. */
(function () {
  "use strict";

  const { ask, element, problem } = window.desk;
  const MAIN = {
    weighings: ["dose_g", "before_g", "after_g"],
    values: ["value"],
    counts: ["hits", "tries"],
    gradings: ["grade"],
  };
  const ASIDE = ["at", "instrument", "dose_by", "dose_instrument", "gain_g", "blank_g", "soil_lot", "operator", "clip", "note"];
  const CARRIED = ["instrument", "dose_by", "dose_instrument", "soil_lot", "operator"];
  const INSTRUMENTS = ["instrument", "dose_instrument"];
  const GRADES = ["0 clean", "1", "2", "3", "4 heavily soiled"];
  const WAIT_MS = 200;
  const PATIENCE_MS = 10000;
  const find = (name) => document.querySelector("[data-" + name + "]");
  let offer = null;
  let run = null;
  let judged = null;
  let question = 0;
  let asksReason = false;
  let timer = 0;

  function say(words) {
    find("status").textContent = words;
  }

  function sayProblem(error) {
    say(problem(error));
  }

  /* Choosing a run */

  function options(select, items) {
    select.replaceChildren(...items.map(([value, words]) => new Option(words, value)));
  }

  /* What is there by now; what was chosen stays chosen. */
  function refill(select, items) {
    const chosen = select.value;
    options(select, items);
    if (items.some(([value]) => value === chosen)) {
      select.value = chosen;
    }
  }

  function showOffer() {
    find("bench").textContent = offer.bench;
    const planned = offer.planned.map((item) => [item.run, methodOf(item).title + ": " + item.name + " (" + item.run + ")"]);
    options(find("planned"), planned.length ? planned : [["", "No run is planned"]]);
    if (run && run.is_planned) {
      find("planned").value = run.run;
    } else if (run) {
      find("planned").prepend(new Option("Not planned: " + run.run, "", true, true));
    }
    find("words").replaceChildren(...offer.words.flatMap(([word, sentence]) => [element("dt", "", word), element("dd", "", sentence)]));
    refill(find("setup"), offer.setups.map((item) => [item.setup, item.name]));
    refill(find("method"), offer.methods.filter((item) => !item.has_ended)
      .map((item) => [item.protocol + " " + item.version, item.title]));
    find("day").value = find("day").value || today() + "-bench";
    if (!offer.setups.length) {
      say("There is no set-up to run yet. Add a maker, its machine and a set-up in the catalogue.");
    }
    options(find("days"), offer.days.map((day) => [day, day]));
    find("other").open = find("other").open || (!planned.length && !run);
  }

  /* Tonight's runs first, then those of days to come, then what was left over; each in its order. */
  function urgency(item) {
    const day = item.day.slice(0, 10);
    return day === today() ? 0 : day > today() ? 1 : 2;
  }

  function methodOf(item) {
    return offer.methods.find((m) => m.protocol === item.protocol && m.version === item.version) ||
      { title: item.protocol, cautions: [], dose: "", unit: "", reading: "" };
  }

  async function load() {
    try {
      offer = await ask("offer", {});
      window.desk.meters = offer.meters;
    } catch (error) {
      sayProblem(error);
      return;
    }
    offer.planned = offer.planned.filter((item) => !window.desk.waits(item.run));
    offer.planned.sort((one, other) => urgency(one) - urgency(other));
    showOffer();
    if (!run && offer.planned.length) {
      open(offer.planned[0]);
    }
  }

  async function beginOther(event) {
    event.preventDefault();
    const [protocol, version] = find("method").value.split(" ");
    try {
      open(await ask("begin", { day: find("day").value, setup: find("setup").value, protocol: protocol, version: Number(version) }));
      find("other").open = false;
      showOffer();
    } catch (error) {
      sayProblem(error);
    }
  }

  /* The fields of one run */

  function open(item) {
    run = item;
    judged = null;
    asksReason = false;
    const method = methodOf(run);
    find("run").hidden = false;
    find("title").textContent = run.name;
    const aim = method.dose ? " · dose " + method.dose : "";
    const tools = ["instrument", "dose_instrument", "operator"].map((name) => run.rows[0][name]).filter(Boolean);
    find("facts").textContent = [method.title + aim, ...tools].join(" · ");
    find("where").textContent = "Goes to data/days/" + run.day + "/" + run.table + ".csv as " + run.run + ".";
    find("cautions").replaceChildren(...method.cautions.map((text) => {
      const caution = document.createElement("li");
      caution.textContent = text;
      return caution;
    }));
    drawFields(method);
    showVerdict(null);
    takeBack();
    changed();
    const first = mainFields().find((field) => !field.value) || find("keep");
    first.focus();
  }

  function drawFields(method) {
    const columns = offer.columns[run.table];
    const main = run.table === "gradings"
      ? run.rows.map((row, i) => fieldOf(columns.find((c) => c.name === "grade"), i, "Zone " + row.zone + ", " + row.grader))
      : MAIN[run.table].map((name) => fieldOf(columns.find((c) => c.name === name), 0, "", method.unit));
    find("fields").replaceChildren(...main);
    const aside = columns.filter((column) => ASIDE.includes(column.name)).map((column) => fieldOf(column, 0, ""));
    find("more").replaceChildren(...aside, tick(), fieldOf(columns.find((c) => c.name === "reason"), 0, ""));
    find("more").querySelector("[data-column=at]").value = isTonight() ? now() : run.rows[0].at;
  }

  /* A run may be made past midnight; on any other day the tester has to say when it was. */
  function isTonight() {
    const days = (Date.parse(today()) - Date.parse(run.day.slice(0, 10))) / 86400000;
    return days === 0 || days === 1;
  }

  function fieldOf(column, row, words, unit) {
    const label = document.createElement("label");
    const shown = column.unit || (column.name === "value" ? unit : "");
    const named = element("span", "", words || column.title);
    if (shown) {
      named.append(" ", element("span", "unit", shown));
    }
    label.append(named);
    const choices = choicesOf(column);
    const input = document.createElement(choices.length ? "select" : "input");
    if (choices.length) {
      options(input, [["", column.name === "dose_by" ? "reading, if not said" : ""], ...choices]);
    } else if (column.type === "number" || column.type === "integer") {
      input.inputMode = column.type === "number" ? "decimal" : "numeric";
    }
    input.dataset.column = column.name;
    input.dataset.row = row;
    input.dataset.unit = shown || "";
    input.value = run.rows[row][column.name] || "";
    if (INSTRUMENTS.includes(column.name) && !input.value && choices.length === 1) {
      input.value = choices[0][0];
    }
    input.enterKeyHint = "next";
    label.append(input);
    return label;
  }

  /* What a column can hold, with its words: instruments in the unit of the reading, grades with their scale. */
  function choicesOf(column) {
    if (column.name === "grade") {
      return GRADES.map((words, grade) => [String(grade), words]);
    }
    if (INSTRUMENTS.includes(column.name)) {
      const unit = run.table === "weighings" ? "g" : methodOf(run).unit;
      return offer.instruments.filter((tool) => tool.unit === unit).map((tool) => [tool.instrument, tool.instrument]);
    }
    return column.allowed.map((word) => [word, word]);
  }

  function tick() {
    const label = document.createElement("label");
    const box = document.createElement("input");
    box.type = "checkbox";
    box.dataset.void = "";
    label.dataset.tick = "";
    label.append(box, "This run does not count (say why)");
    return label;
  }

  function allFields() {
    return [...find("run").querySelectorAll("[data-column]")];
  }

  function mainFields() {
    return [...find("fields").querySelectorAll("[data-column]")];
  }

  function today() {
    return now().slice(0, 10);
  }

  function now() {
    const date = new Date();
    const two = (number) => String(number).padStart(2, "0");
    return date.getFullYear() + "-" + two(date.getMonth() + 1) + "-" + two(date.getDate()) +
      "T" + two(date.getHours()) + ":" + two(date.getMinutes());
  }

  /* Drafts */

  function draft() {
    const isVoid = find("void").checked;
    const fields = allFields();
    const rows = run.rows.map(function (row, i) {
      const made = Object.assign({}, row, { status: isVoid ? "void" : "valid" });
      fields.forEach(function (field) {
        const known = offer.columns[run.table].some((column) => column.name === field.dataset.column);
        const isShared = run.table === "gradings" && field.dataset.column !== "grade";
        if (known && (isShared || Number(field.dataset.row) === i)) {
          made[field.dataset.column] = field.value.trim();
        }
      });
      if (!isVoid && !asksReason) {
        delete made.reason;
      }
      return made;
    });
    return { day: run.day, table: run.table, rows: rows };
  }

  const place = () => "draft of " + run.run;

  function putAside() {
    const typed = allFields().filter((f) => f.dataset.column !== "at").map((field) => field.value);
    localStorage.setItem(place(), JSON.stringify({ typed: typed, isVoid: find("void").checked }));
  }

  function takeBack() {
    const kept = JSON.parse(localStorage.getItem(place()) || "null");
    if (kept) {
      allFields().filter((f) => f.dataset.column !== "at").forEach((field, i) => { field.value = kept.typed[i] || ""; });
      find("void").checked = kept.isVoid;
    }
  }

  /* Judging while typing */

  function changed() {
    judged = null;
    find("keep").disabled = true;
    find("verdict").dataset.waiting = "";
    clearTimeout(timer);
    if (mainFields().some((field) => field.value) || find("void").checked) {
      timer = setTimeout(judge, WAIT_MS);
    }
  }

  async function judge() {
    clearTimeout(timer);
    const mine = ++question;
    const sent = draft();
    try {
      const verdict = await ask("judge", sent, PATIENCE_MS);
      if (mine === question && JSON.stringify(sent) === JSON.stringify(draft())) {
        judged = verdict;
        showVerdict(verdict);
      }
    } catch (error) {
      if (mine === question) {
        unjudged(error);
      }
    }
  }

  /* Without an answer a whole run may be kept here; it is judged when it is sent. */
  function unjudged(error) {
    sayProblem(error);
    if (window.desk.isUnanswered(error) && mainFields().every((field) => field.value)) {
      judged = { findings: [], may_be_kept: true };
      delete find("verdict").dataset.waiting;
      find("verdict").replaceChildren(element("p", "", "Not judged: the preview does not answer. Kept here, it is judged when it is sent."));
      find("keep").disabled = false;
    }
  }

  /* A result that can hardly be right may be kept with a reason: the field for it opens. */
  function askForReason(verdict) {
    if (verdict.findings.some((finding) => finding.code === "result-implausible")) {
      asksReason = true;
      find("more").parentElement.open = true;
    }
  }

  function showVerdict(verdict) {
    const shown = [];
    const isTyping = !find("void").checked && mainFields().some((field) => !field.value);
    if (verdict) {
      say("");
      askForReason(verdict);
      delete find("verdict").dataset.waiting;
      if (verdict.value) {
        const outcome = element("p", "outcome", verdict.value);
        outcome.append(element("span", "u", verdict.uncertainty));
        const others = element("p", verdict.is_far ? "others far" : "others", "");
        if (verdict.is_far) {
          others.append(element("strong", "", "Far off: "));
        }
        others.append(verdict.others);
        shown.push(outcome, others);
      } else if (!isTyping) {
        shown.push(element("p", "", verdict.without_value));
      }
      shown.push(...findingLines(verdict.findings, isTyping));
    }
    find("verdict").replaceChildren(...shown);
    const concerned = verdict ? verdict.findings.map((finding) => finding.column) : [];
    if ([...find("more").querySelectorAll("[data-column]")].some((field) => concerned.includes(field.dataset.column))) {
      find("more").parentElement.open = true;
    }
    find("keep").disabled = !(verdict && verdict.may_be_kept) || isTyping;
  }

  /* While fields are still empty, nobody needs to be told that they are. */
  function findingLines(findings, isTyping) {
    const empty = new Set(allFields().filter((field) => !field.value).map((field) => field.dataset.column));
    const told = findings.filter((finding) => !isTyping || !empty.has(finding.column));
    if (!told.length) {
      return [];
    }
    const list = element("ul", "found", "");
    told.forEach(function (finding) {
      const item = element("li", "", "");
      item.append(element("strong", "", finding.severity === "error" ? "Fault: " : "Warning: "),
        (finding.column ? finding.column + " " : "") + finding.problem + ". " + finding.remedy);
      list.append(item);
    });
    return [list];
  }

  /* Keeping */

  async function keep(event) {
    event.preventDefault();
    if (!judged || !judged.may_be_kept) {
      return;
    }
    find("keep").disabled = true;
    try {
      const kept = await window.desk.keepOnce(run, draft());
      localStorage.removeItem(place());
      carryOn();
      offer.planned = offer.planned.filter((item) => item.run !== run.run);
      next();
      say(kept ? "Kept: " + kept.file + ", row " + kept.row + "." : "");
    } catch (error) {
      find("keep").disabled = false;
      sayProblem(error);
    }
  }

  /* The next runs under this protocol are made by the same people with the same instruments. */
  function carryOn() {
    const [made] = draft().rows;
    offer.planned.filter((item) => item.protocol === run.protocol).forEach(function (item) {
      item.rows.forEach(function (row) {
        CARRIED.filter((name) => name in made).forEach(function (name) {
          row[name] = row[name] || made[name] || "";
        });
      });
    });
  }

  /* A run that was refused after it had waited: what was typed, under an identifier of its own where it was not planned. */
  async function mend(event) {
    const { run: made, draft: typed } = event.detail;
    const [first] = typed.rows;
    try {
      const fresh = made.is_planned ? made : await ask("begin", {
        day: typed.day, setup: first.setup, protocol: first.protocol, version: Number(first.version),
      });
      const rows = typed.rows.map((row, i) => Object.assign({}, row, { run: fresh.run, replicate: fresh.rows[i].replicate || "" }));
      open(Object.assign({}, fresh, { rows: rows }));
      find("more").querySelector("[data-column=at]").value = first.at;
      window.desk.letGo(event.detail);
      changed();
    } catch (error) {
      sayProblem(error);
    }
  }

  function next() {
    run = null;
    find("run").hidden = true;
    showOffer();
    if (offer.planned.length) {
      open(offer.planned[0]);
    }
  }

  async function enter(event) {
    if (event.key !== "Enter" || !event.target.matches("[data-column]")) {
      return;
    }
    event.preventDefault();
    const left = mainFields().find((field) => !field.value);
    if (left) {
      left.focus();
      return;
    }
    if (!judged) {
      await judge();
    }
    (find("keep").disabled ? atFault() : find("keep")).focus();
  }

  function atFault() {
    const faults = judged ? judged.findings.map((finding) => finding.column) : [];
    return mainFields().find((field) => faults.includes(field.dataset.column)) || mainFields()[0];
  }

  find("pick").addEventListener("submit", beginOther);
  find("planned").addEventListener("change", function () {
    const chosen = offer.planned.find((item) => item.run === find("planned").value);
    if (chosen) {
      open(chosen);
    }
  });
  find("run").addEventListener("input", function (event) {
    if (event.target.inputMode === "decimal") {
      event.target.value = event.target.value.replace(",", ".");
    }
    putAside();
    changed();
  });
  find("run").addEventListener("keydown", enter);
  find("run").addEventListener("submit", keep);
  document.addEventListener("trialpress-mend", mend);
  document.addEventListener("trialpress-looked", load);
  document.addEventListener("DOMContentLoaded", load); // the page's other scripts have run by then
}());
