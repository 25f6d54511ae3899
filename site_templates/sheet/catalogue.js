/* The catalogue in forms: one row at a time, new or in the place of an old one.
   In: what the preview offers of every table. Out: a row to judge with every field, and rows to keep.
   A row that is half typed stays while another table is looked at. */
(function () {
  "use strict";

  const { ask, element, problem } = window.desk;
  const WAIT_MS = 200;
  const MOST_ELSEWHERE = 6;
  const find = (name) => document.querySelector("[data-" + name + "]");
  const drafts = {};
  let offer = null;
  let table = null;
  let draft = null;
  let judged = null;
  let question = 0;
  let timer = 0;

  function say(words) {
    find("status").textContent = words;
  }

  function button(words, work, label) {
    const made = element("button", "", words);
    made.type = "button";
    made.addEventListener("click", work);
    if (label) {
      made.setAttribute("aria-label", label);
    }
    return made;
  }

  /* What there is */

  /* A file that was saved changes what is offered; the fields that are being filled in stay as they
     are, unless there is something else to choose in them. */
  async function load() {
    const asked = table ? JSON.stringify(table.columns) : "";
    try {
      offer = await ask("offer", {});
    } catch (error) {
      say(problem(error));
      return;
    }
    find("words").replaceChildren(...offer.words.flatMap(([word, sentence]) => [element("dt", "", word), element("dd", "", sentence)]));
    find("undo").hidden = !offer.undo;
    find("take-back").textContent = "Undo: " + offer.undo;
    const now = tableOf(table ? table.table : window.location.hash.slice(1)) || offer.tables[0];
    const isTyping = draft && draft === drafts[now.table];
    if (isTyping && JSON.stringify(now.columns) === asked) {
      showTable(now);
      soon();
    } else {
      show(now);
    }
  }

  function tableOf(name) {
    return offer.tables.find((item) => item.table === name);
  }

  function show(shown) {
    showTable(shown);
    showDraft();
  }

  function showTable(shown) {
    table = shown;
    find("tables").replaceChildren(...offer.tables.map(function (item) {
      const line = element("li", "", "");
      const count = item.rows && item.rows.length ? " " + item.rows.length : "";
      const tab = button(item.title + count, () => choose(item.table));
      tab.setAttribute("aria-pressed", String(item === table));
      line.append(tab);
      return line;
    }));
    find("table").hidden = false;
    find("title").textContent = table.title;
    find("description").textContent = table.problem || table.description;
    find("rows").replaceChildren(...(table.rows || []).map(rowLine));
    find("begin").textContent = "Add a " + table.noun;
  }

  function choose(name) {
    window.history.replaceState(null, "", "#" + name);
    say("");
    show(tableOf(name));
  }

  function rowLine(row) {
    const line = element("li", "", "");
    line.append(element("span", "called", row.name),
      button("Change", () => change(row), "Change " + row.name));
    line.append(table.table === "protocols"
      ? button("New version", () => copy(row), "New version of " + row.name)
      : button("Copy", () => copy(row), "Copy " + row.name));
    return line;
  }

  /* The row that is typed */

  function begin(made) {
    drafts[table.table] = Object.assign({ key: null, was: {}, cells: {}, touched: {}, method: null, methodTyped: false }, made);
    say("");
    showDraft();
    const open = fields().filter((field) => !field.disabled);
    ((!draft.key && open.find((field) => !field.value)) || open[0]).focus();
  }

  function change(row) {
    begin({ key: row.key, was: row.cells, cells: Object.assign({}, row.cells) });
  }

  /* A copy has a name of its own; a new version of a protocol keeps the name and counts on. */
  function copy(row) {
    const isVersion = table.table === "protocols";
    const left = table.columns.filter((column) => column.is_key || ["from_date", "to_date", "continues", "stock", "reference", "stated_on"].includes(column.name)).map((column) => column.name);
    const cells = Object.fromEntries(Object.entries(row.cells).filter(([name]) => !left.includes(name)));
    if (isVersion) {
      cells.protocol = row.cells.protocol;
    }
    begin({ cells: cells, touched: Object.fromEntries(Object.keys(cells).map((name) => [name, true])) });
  }

  function showDraft() {
    draft = drafts[table.table] || null;
    judged = null;
    const isEmpty = !table.problem && !table.rows.length;
    if (!draft && isEmpty) {
      draft = drafts[table.table] = { key: null, was: {}, cells: {}, touched: {}, method: null, methodTyped: false };
    }
    find("entry").hidden = !draft;
    find("begin-place").hidden = Boolean(draft) || Boolean(table.problem);
    if (!draft) {
      return;
    }
    find("heading").textContent = draft.key ? "Change " + draft.key.join(" ") : "A new " + table.noun;
    find("leave").hidden = isEmpty;
    find("remove").hidden = !draft.key;
    const isProtocol = table.table === "protocols";
    find("starters").hidden = !isProtocol || Boolean(draft.key);
    find("method-place").hidden = !isProtocol;
    find("starter").replaceChildren(new Option("none", ""), ...offer.starters.map((item) => new Option(item.cells.title, item.name)));
    const focused = document.activeElement && document.activeElement.dataset.column;
    find("columns").replaceChildren(...table.columns.map(columnOf));
    const again = fields().find((field) => field.dataset.column === focused);
    if (again) {
      again.focus();
    }
    showMethod();
    changed();
  }

  function columnOf(column) {
    const place = element("div", "column", "");
    const field = fieldOf(column);
    const label = element("label", "", column.title + " ");
    label.htmlFor = field.id;
    label.append(element("span", "needed", column.is_required ? "" : "may stay blank"));
    const meaning = element("p", "meaning", column.meaning);
    meaning.id = "about-" + column.name;
    const fault = element("p", "fault", "");
    fault.id = "fault-" + column.name;
    fault.dataset.fault = column.name;
    field.setAttribute("aria-describedby", meaning.id + " " + fault.id);
    if (column.is_required) {
      field.setAttribute("aria-required", "true");
    }
    place.append(label, field, fault, meaning);
    const other = column.refers_to && tableOf(column.refers_to);
    if (other) {
      meaning.append(" ", button("Add a " + other.noun, () => addOther(other)));
    }
    if (column.is_open && column.choices.length) {
      const list = document.createElement("datalist");
      list.id = "words-" + column.name;
      list.append(...column.choices.map(([word]) => new Option(word, word)));
      field.setAttribute("list", list.id);
      place.append(list);
    }
    return place;
  }

  function addOther(other) {
    choose(other.table);
    begin({});
  }

  function fieldOf(column) {
    const text = draft.cells[column.name] || "";
    const field = document.createElement(!column.is_open ? "select" : text.includes("\n") ? "textarea" : "input");
    if (!column.is_open) {
      const words = column.choices.map(([word, name]) => new Option(name || word, word));
      const isKnown = !text || column.choices.some(([word]) => word === text);
      field.append(new Option("", ""), ...words, ...(isKnown ? [] : [new Option(text, text)]));
    } else if (column.type === "date" && /^(\d{4}-\d{2}-\d{2})?$/.test(text)) {
      field.type = "date";
    } else if (column.type === "number" || column.type === "integer") {
      field.inputMode = column.type === "number" ? "decimal" : "numeric";
    }
    field.id = "field-" + column.name;
    field.dataset.column = column.name;
    field.value = text;
    field.disabled = Boolean(draft.key) && column.is_key;
    field.spellcheck = false;
    return field;
  }

  function fields() {
    return [...find("columns").querySelectorAll("[data-column]")];
  }

  /* The text that says how a run is made: of a protocol that has one, that one. */

  function methodThere() {
    const there = offer.methods[draft.cells.protocol];
    return there === undefined ? null : there;
  }

  function showMethod() {
    if (!draft.methodTyped) {
      const there = methodThere();
      const starter = offer.starters.find((item) => item.name === draft.starter);
      draft.method = there !== null ? there : starter ? titled(starter) : "";
      find("method").value = draft.method;
    } else {
      find("method").value = draft.method;
    }
    find("starter").value = draft.starter || "";
  }

  function titled(starter) {
    return starter.method.replace(/^# .*/, () => "# " + (draft.cells.title || starter.cells.title));
  }

  function takeStarter() {
    const starter = offer.starters.find((item) => item.name === find("starter").value);
    draft.starter = starter ? starter.name : "";
    if (starter) {
      Object.entries(starter.cells).forEach(function ([name, text]) {
        if (table.columns.some((column) => column.name === name)) {
          draft.cells[name] = text;
          draft.touched[name] = true;
        }
      });
    }
    showDraft();
  }

  /* Judging while typing */

  function sent() {
    const content = { table: table.table, key: draft.key, was: draft.was, cells: draft.cells };
    const isTyped = draft.methodTyped || (draft.starter && methodThere() === null);
    if (table.table === "protocols" && isTyped) {
      content.method = draft.method;
      content.method_was = methodThere();
    }
    return content;
  }

  function changed() {
    judged = null;
    find("keep").disabled = true;
    find("verdict").dataset.waiting = "";
    soon();
  }

  function soon() {
    clearTimeout(timer);
    timer = setTimeout(judge, WAIT_MS);
  }

  async function judge() {
    clearTimeout(timer);
    if (!draft) {
      return;
    }
    const mine = ++question;
    const mineDraft = draft;
    const untouched = fields().map((field) => field.dataset.column).filter((name) => !draft.touched[name] && name !== draft.cleared);
    const typed = JSON.stringify(sent());
    try {
      const verdict = await ask("judge", Object.assign({ untouched: untouched }, withoutProposals()));
      if (mine === question && draft === mineDraft && typed === JSON.stringify(sent())) {
        fill(verdict.proposed);
        judged = verdict;
        showVerdict(verdict);
      }
    } catch (error) {
      if (mine === question) {
        say(problem(error));
      }
    }
  }

  /* What was proposed before is proposed anew, as what it was made of may have changed. */
  function withoutProposals() {
    const content = sent();
    if (!draft.key) {
      content.cells = Object.fromEntries(Object.entries(content.cells).filter(([name]) => draft.touched[name]));
    }
    return content;
  }

  function fill(proposed) {
    fields().forEach(function (field) {
      const name = field.dataset.column;
      const isOurs = !draft.key && !draft.touched[name] && name !== draft.cleared;
      if (isOurs && field.value !== (proposed[name] || "")) {
        field.value = proposed[name] || "";
        draft.cells[name] = field.value;
      }
      field.toggleAttribute("data-proposed", isOurs && Boolean(field.value));
    });
    showMethod();
  }

  function showVerdict(verdict) {
    delete find("verdict").dataset.waiting;
    const blank = [];
    const elsewhere = [];
    document.querySelectorAll("[data-fault]").forEach((place) => { place.replaceChildren(); });
    fields().forEach((field) => { field.removeAttribute("aria-invalid"); });
    verdict.findings.forEach(function (finding) {
      const field = fields().find((item) => item.dataset.column === finding.column);
      const isOwn = field && finding.file.endsWith("/" + table.table + ".csv");
      if (isOwn && finding.code === "cell-blank") {
        blank.push(table.columns.find((column) => column.name === finding.column).title);
      } else if (isOwn) {
        const place = document.querySelector('[data-fault="' + finding.column + '"]');
        place.append(...worded(finding), " ");
        field.setAttribute("aria-invalid", String(finding.severity === "error"));
      } else {
        elsewhere.push(finding);
      }
    });
    find("verdict").replaceChildren(...sentences(verdict, blank, elsewhere));
    find("keep").disabled = !verdict.may_be_kept;
  }

  function worded(finding) {
    return [element("strong", "", finding.severity === "error" ? "Fault: " : "Warning: "), finding.problem + ". " + finding.remedy];
  }

  function sentences(verdict, blank, elsewhere) {
    const shown = [];
    if (verdict.may_be_kept) {
      shown.push(element("p", "", "Nothing is wrong with this row."));
    } else if (blank.length) {
      const titles = table.columns.map((column) => column.title).filter((title) => blank.includes(title));
      shown.push(element("p", "", "Still to fill in: " + titles.join(", ") + "."));
    } else if (!elsewhere.length) {
      shown.push(element("p", "", "Mend what is marked above."));
    }
    if (elsewhere.length) {
      const list = element("ul", "found", "");
      list.append(...elsewhere.slice(0, MOST_ELSEWHERE).map(function (finding) {
        const item = element("li", "", "");
        const where = [finding.file, finding.row && "row " + finding.row, finding.column].filter(Boolean).join(", ");
        item.append(where + ": ", ...worded(finding));
        return item;
      }));
      shown.push(list);
      const more = verdict.in_all - verdict.findings.length + Math.max(0, elsewhere.length - MOST_ELSEWHERE);
      if (more) {
        shown.push(element("p", "", "And " + more + " more in other rows."));
      }
    }
    return shown;
  }

  /* Keeping and undoing */

  async function keep(event) {
    event.preventDefault();
    if (!judged || !judged.may_be_kept) {
      return;
    }
    find("keep").disabled = true;
    try {
      const kept = await ask("keep", sent());
      const name = draft.cells[table.columns.find((column) => column.is_key).name] || "";
      delete drafts[table.table];
      await load();
      say(kept.was_new
        ? "Kept: " + name + ", " + kept.file + ", row " + kept.row + "."
        : kept.file + ", row " + kept.row + ", says all of this already.");
      find("begin").focus();
    } catch (error) {
      find("keep").disabled = false;
      say(problem(error));
    }
  }

  async function remove() {
    try {
      const key = draft.key.join(" ");
      await ask("keep", { table: table.table, key: draft.key, was: draft.was, remove: true });
      delete drafts[table.table];
      await load();
      say("Removed: " + key + ".");
      find("begin").focus();
    } catch (error) {
      say(problem(error));
    }
  }

  /* Enter leads to the button, or to the field that keeps it shut. */
  async function enter(event) {
    if (event.key !== "Enter" || !event.target.matches("input, select")) {
      return;
    }
    event.preventDefault();
    if (!judged) {
      await judge();
    }
    const shut = fields().find((field) => field.getAttribute("aria-invalid") === "true") ||
      fields().find((field) => !field.value && field.getAttribute("aria-required") === "true");
    (find("keep").disabled && shut ? shut : find("keep")).focus();
  }

  async function takeBack() {
    try {
      const answer = await ask("undo", {});
      await load();
      say("Undone: " + answer.undone + ".");
    } catch (error) {
      say(problem(error));
    }
  }

  function leave() {
    delete drafts[table.table];
    say("");
    showDraft();
    find("begin").focus();
  }

  find("begin").addEventListener("click", () => begin({}));
  find("leave").addEventListener("click", leave);
  find("remove").addEventListener("click", remove);
  find("take-back").addEventListener("click", takeBack);
  find("starter").addEventListener("change", takeStarter);
  find("method").addEventListener("input", function () {
    draft.method = find("method").value;
    draft.methodTyped = true;
    changed();
  });
  find("columns").addEventListener("input", function (event) {
    const name = event.target.dataset.column;
    if (event.target.inputMode === "decimal") {
      event.target.value = event.target.value.replace(",", ".");
    }
    draft.cells[name] = event.target.value;
    draft.touched[name] = event.target.value !== "";
    draft.cleared = draft.touched[name] ? "" : name;
    showMethod();
    changed();
  });
  find("entry").addEventListener("keydown", enter);
  find("columns").addEventListener("focusout", function (event) {
    if (draft && event.target.dataset.column === draft.cleared) {
      draft.cleared = "";
      changed();
    }
  });
  find("entry").addEventListener("submit", keep);
  document.addEventListener("trialpress-looked", load);
  load();
}());
