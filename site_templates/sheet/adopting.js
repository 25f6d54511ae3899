/* Old spreadsheets by pointing: a file, what its columns are, what only the tester knows, its rows.
   In: what the preview makes of a file. Out: a mapping, and the order to write what was shown. */
(function () {
  "use strict";

  const { ask, element, problem } = window.desk;
  const NOTHING = "";
  const ONE_OF_SEVERAL = "*";
  const OPEN = "?";
  const SECTIONS = [["fixed"], ["values", "setup"], ["values", "protocol"], ["results"]];
  const find = (name) => document.querySelector("[data-" + name + "]");
  let file = null;
  let opened = null;
  let mapping = {};
  let shown = null;
  let question = 0;
  const answersOf = {};

  function say(words) {
    find("status").textContent = words;
  }

  /* The file */

  async function base64Of(chosen) {
    const bytes = new Uint8Array(await chosen.arrayBuffer());
    let text = "";
    for (let i = 0; i < bytes.length; i += 32768) {
      text += String.fromCharCode(...bytes.subarray(i, i + 32768));
    }
    return btoa(text);
  }

  async function open() {
    file = find("file").files[0] || null;
    find("understood").hidden = true;
    if (!file) {
      return;
    }
    say("Reading " + file.name + " …");
    try {
      opened = await ask("open", { name: file.name, data: await base64Of(file) });
    } catch (error) {
      say(problem(error));
      return;
    }
    mapping = opened.mapping;
    say(file.name + " is " + opened.how + "." + others());
    find("understood").hidden = false;
    await look();
  }

  function others() {
    return opened.other_sheets.length ? " It has other sheets with runs, which wait: " + opened.other_sheets.join(", ") + "." : "";
  }

  /* The mapping */

  function sectionAt(path, isMade) {
    return path.reduce(function (place, name) {
      if (isMade && !(name in place)) {
        place[name] = {};
      }
      return place[name] || {};
    }, mapping);
  }

  function put(section, key, value) {
    const place = section ? sectionAt(section.split("."), true) : mapping;
    if (value === NOTHING) {
      delete place[key];
    } else {
      place[key] = value;
    }
    look();
  }

  /* A column may be several in one name, one of several, one of ours, or nothing. */
  function point(item, column) {
    const columns = sectionAt(["columns"], true);
    Object.keys(columns).forEach(function (name) {
      const rest = [].concat(columns[name]).filter((theirs) => theirs !== item.header);
      if (rest.length) {
        columns[name] = rest.length === 1 ? rest[0] : rest;
      } else {
        delete columns[name];
      }
    });
    mapping.ignore = (mapping.ignore || []).filter((theirs) => theirs !== item.header);
    if (item.word !== null) {
      delete mapping.wide.columns[item.word];
    }
    if (column === ONE_OF_SEVERAL) {
      mapping.wide = mapping.wide || { becomes: opened.becomes[0], columns: {} };
      mapping.wide.columns[item.header] = item.header;
    } else if (column === NOTHING) {
      mapping.ignore.push(item.header);
    } else {
      columns[column] = column in columns ? [].concat(columns[column], item.header) : item.header;
    }
    if (mapping.wide && !Object.keys(mapping.wide.columns).length) {
      delete mapping.wide;
    }
    look();
  }

  /* Showing */

  function select(choices, value) {
    const made = document.createElement("select");
    made.append(...choices.map(([text, words]) => new Option(words, text)));
    made.value = value;
    return made;
  }

  function showColumns() {
    const choices = [[NOTHING, "not used"], [ONE_OF_SEVERAL, "one of several"]].concat(opened.columns.map((name) => [name, name]));
    find("columns").replaceChildren(...opened.headers.map(function (header, i) {
      const item = Object.assign({}, header, shown.columns[i]);
      const word = item.word;
      const line = document.createElement("li");
      const choice = select(choices, word === null ? item.is || NOTHING : ONE_OF_SEVERAL);
      choice.setAttribute("aria-label", item.header + " is");
      choice.addEventListener("change", () => point(item, choice.value));
      line.append(element("span", "header", item.header), choice, element("p", "cells", item.cells.join(" · ")));
      if (word !== null) {
        const is = document.createElement("input");
        is.value = mapping.wide.columns[word];
        is.setAttribute("aria-label", word + " is the " + mapping.wide.becomes);
        is.placeholder = mapping.wide.becomes === "replicate" ? "numbered in its order" : "";
        is.addEventListener("change", function () {
          mapping.wide.columns[word] = is.value;
          look();
        });
        line.append(is);
      }
      return line;
    }));
    find("becomes-place").hidden = !mapping.wide;
    const becomes = find("becomes");
    becomes.replaceChildren(...opened.becomes.map((name) => new Option(name, name)));
    becomes.value = mapping.wide ? mapping.wide.becomes : "";
  }

  /* One thing to say: a list of answers where they are names, a field where they are examples. */
  function pointOf(section, key, value, why, answers, id) {
    const line = element("div", "point", "");
    const words = answers.filter((answer) => !answer.includes(": "));
    const isList = words.length && !words.some((answer) => /^[0-9.]+$/.test(answer));
    const label = element("label", "", key);
    const field = isList ? select([[OPEN, "choose"]].concat(words.map((word) => [word, word])), OPEN) : document.createElement("input");
    field.id = id;
    label.htmlFor = id;
    if (isList && value && !words.includes(value)) {
      field.append(new Option(value, value));
    }
    field.value = value || (isList ? OPEN : "");
    field.placeholder = isList ? "" : words.join(", ");
    field.addEventListener("change", () => put(section, key, field.value || OPEN));
    line.append(label, field, element("p", "why", why + answers.filter((answer) => answer.includes(": ")).map((text) => " (" + text + ")").join("")));
    return line;
  }

  function showAsked() {
    const asked = shown.asked;
    asked.forEach(function (line) {
      answersOf[line.section + " " + line.key] = line;
    });
    find("asked").replaceChildren(...asked.map(function (line, i) {
      const made = pointOf(line.section, line.key, line.value, line.why, line.answers.length ? line.answers : [line.value], "asked-" + i);
      made.dataset.open = "";
      return made;
    }));
    find("nothing").hidden = asked.length > 0;
  }

  function showAnswers() {
    const made = [];
    SECTIONS.forEach(function (path) {
      Object.entries(sectionAt(path, false)).filter(([, value]) => value !== OPEN).forEach(function ([key, value]) {
        const section = path.join(".");
        const known = answersOf[section + " " + key];
        const reason = opened.reasons.find(([of, name]) => of === section && name === key);
        const answers = known && known.answers.length ? known.answers : [value];
        made.push(pointOf(section, key, value, known ? known.why : reason ? reason[2] : "", answers, "said-" + made.length));
      });
    });
    if (mapping.date_order && mapping.date_order !== OPEN) {
      made.push(pointOf("", "date_order", mapping.date_order, "", ["day-first", "month-first"], "said-order"));
    }
    find("answers").replaceChildren(...made);
    find("answers-place").hidden = !made.length;
  }

  function showRows() {
    find("refused").replaceChildren(...shown.refused.map((text) => element("li", "", "Not adopted: " + text)));
    find("told").replaceChildren(...shown.told.map((text) => element("li", "", text)));
    find("rows").replaceChildren(...shown.rows.map(function (row) {
      const line = document.createElement("tr");
      const cells = Object.entries(row.cells).map(([name, text]) => name + " " + text).join(", ");
      line.append(element("td", "", row.place), element("td", "", row.day), element("td", "", row.table), element("td", "says", cells));
      return line;
    }));
    find("rows-place").hidden = !shown.count;
    const more = shown.count > shown.rows.length ? "The first " + shown.rows.length + " of " + shown.count + ". " : "";
    find("more").textContent = more + (shown.already ? shown.already + " rows were adopted before." : "");
    const write = find("write");
    write.textContent = shown.count ? "Write " + shown.count + (shown.count === 1 ? " row" : " rows") : "No row to write";
    write.disabled = !shown.count;
  }

  async function look() {
    const mine = ++question;
    find("write").disabled = true;
    find("rows").dataset.waiting = "";
    const focused = document.activeElement ? document.activeElement.id || document.activeElement.getAttribute("aria-label") : null;
    try {
      const answer = await ask("look", { of: opened.of, mapping: mapping });
      if (mine !== question) {
        return;
      }
      shown = answer;
      delete find("rows").dataset.waiting;
      showColumns();
      showAsked();
      showAnswers();
      showRows();
      focus(focused);
    } catch (error) {
      if (mine === question) {
        say(problem(error));
      }
    }
  }

  /* Where the keyboard was, or the next thing to say where that is answered. */
  function focus(before) {
    if (!before) {
      return;
    }
    const same = [...document.querySelectorAll("[id], [aria-label]")].find((item) => item.id === before || item.getAttribute("aria-label") === before);
    const next = same || find("asked").querySelector("select, input") || find("write");
    next.focus();
  }

  async function write() {
    find("write").disabled = true;
    try {
      const data = await base64Of(file).catch(function () {
        throw new Error(file.name + " was changed since its rows were shown, so nothing was written. Choose it again.");
      });
      const done = await ask("write", { of: opened.of, mapping: mapping, shown: shown.shown, name: file.name, data: data });
      say("Written: " + done.undo + ".");
      showUndo(done.undo);
      await look();
    } catch (error) {
      say(problem(error));
      await look();
    }
  }

  function showUndo(what) {
    find("undo").hidden = !what;
    find("take-back").textContent = what ? "Undo: " + what : "";
  }

  async function takeBack() {
    try {
      const done = await ask("undo", {});
      say("Undone: " + done.undone + ".");
      showUndo(null);
      if (opened) {
        await look();
      }
    } catch (error) {
      say(problem(error));
    }
  }

  find("file").addEventListener("change", open);
  find("write").addEventListener("click", write);
  find("take-back").addEventListener("click", takeBack);
  find("becomes").addEventListener("change", function () {
    if (mapping.wide) {
      mapping.wide.becomes = find("becomes").value;
      look();
    }
  });
  if (find("file").files.length) {
    open();  // chosen before this script was there
  }
  ask("last", {}).then((answer) => showUndo(answer.undo), (error) => say(problem(error)));
}());
