/*
 * Asks the newest edition in SQL. SQLite and the data are loaded when something is asked, not before.
 *
 * In:  `?q=` in the address, a question of the page, or what a reader types.
 * Out: the answer as a table, as CSV on demand, and an address that asks the same; SQLite's own words
 *      where the question is wrong. A question that takes long runs beside the page and can be stopped.
 */
'use strict';

(() => {
  const { address, root, say, sayCount } = window.trialpress;
  const MOST_ROWS = 1000; // that a page shows at ease; the CSV has all
  const form = document.querySelector('[data-ask]');
  const { sql } = form.elements;
  const said = form.querySelector('[data-said]');
  const stop = form.querySelector('[data-stop]');
  const save = form.querySelector('[data-save]');
  const answer = document.querySelector('[data-answer]');
  let worker = null;
  let asking = 0;
  let held = { columns: [], values: [] };

  /** Send one message to SQLite and wait for what it says. */
  function send(message, transfer = []) {
    return new Promise((resolve, reject) => {
      worker.onmessage = ({ data }) => (data.error ? reject(new Error(data.error)) : resolve(data));
      worker.onerror = () => reject(new Error(say('SQLite could not be started.')));
      worker.postMessage(message, transfer);
    });
  }

  async function open() {
    const got = await fetch(root + form.dataset.ask);
    if (!got.ok) throw new Error(say('The data could not be loaded.'));
    const buffer = await got.arrayBuffer();
    worker = new Worker(`${root}static/vendor/sqlite/worker.sql-wasm.js`);
    await send({ id: 1, action: 'open', buffer }, [buffer]);
  }

  function end() {
    worker?.terminate();
    worker = null;
  }

  function show() {
    const table = document.createElement('table');
    table.className = 'list plain';
    const head = table.createTHead().insertRow();
    for (const column of held.columns) {
      const cell = document.createElement('th');
      cell.scope = 'col';
      cell.textContent = column;
      head.append(cell);
    }
    const body = table.createTBody();
    for (const row of held.values.slice(0, MOST_ROWS)) {
      const line = body.insertRow();
      for (const value of row) line.insertCell().textContent = value ?? '';
    }
    answer.replaceChildren(table);
    answer.hidden = held.columns.length === 0;
    save.hidden = answer.hidden;
    const told = sayCount('{count} row.', '{count} rows.', held.values.length);
    const rest = held.values.length > MOST_ROWS;
    said.textContent = rest ? `${told} ${say('The first {most} are shown.', { most: MOST_ROWS })}` : told;
  }

  async function ask(text) {
    if (window.location.protocol === 'file:') {
      said.textContent = say(
        'A browser lets no page that was opened from disk start SQLite. Open this page where the site is published, or ask the file {file} with any program for SQLite.',
        { file: form.dataset.ask },
      );
      return;
    }
    asking += 1;
    const mine = asking;
    stop.hidden = false;
    said.textContent = say('Asking …');
    try {
      if (!worker) await open();
      const { results } = await send({ id: 2, action: 'exec', sql: text });
      if (mine !== asking) return;
      held = results.at(-1) ?? { columns: [], values: [] };
      show();
    } catch (error) {
      if (mine !== asking) return;
      answer.hidden = true;
      save.hidden = true;
      said.textContent = say('SQLite says: {words}', { words: error.message });
    }
    stop.hidden = true;
  }

  function quoted(value) {
    const text = String(value ?? '');
    return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  }

  form.addEventListener('submit', (event) => {
    event.preventDefault();
    if (!stop.hidden) end(); // what is still being asked gives way
    address.change({ q: sql.value });
    ask(sql.value);
  });
  for (const button of form.querySelectorAll('[data-sql]')) {
    button.addEventListener('click', () => {
      sql.value = button.dataset.sql;
      form.requestSubmit();
    });
  }
  stop.addEventListener('click', () => {
    asking += 1;
    end();
    stop.hidden = true;
    said.textContent = say('Stopped.');
  });
  save.addEventListener('click', () => {
    const lines = [held.columns, ...held.values].map((row) => `${row.map(quoted).join(',')}\n`);
    const link = document.createElement('a');
    link.href = URL.createObjectURL(new Blob(lines, { type: 'text/csv' }));
    link.download = 'answer.csv';
    link.click();
    URL.revokeObjectURL(link.href);
  });
  const shared = address.read().get('q');
  if (shared) {
    sql.value = shared;
    ask(shared);
  }
})();
