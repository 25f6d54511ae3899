/*
 * Makes every column of a filtered matrix a standing of the set-ups shown, with places of its own.
 *
 * In:  headings with `data-column-verdicts`, the name of the verdicts of each column, loaded when the
 *      filter is first reached for; `trialpress:shown` whenever other set-ups are shown.
 * Out: places and the places that could be, among those shown, with the place among all beside them;
 *      the line that says so.
 *
 * Short: the rules of a standing are in `shown.js`.
 */
'use strict';

(() => {
  const { data, element, filters, say, shown } = window.trialpress;
  const AT_ONCE = 25; // rows, more than a screen holds
  const whenIdle = window.requestIdleCallback ?? ((call) => window.setTimeout(call, 50));
  const headings = [...document.querySelectorAll('[data-column-verdicts]')];
  const { rows } = headings[0].closest('table').tBodies[0];
  const published = [...rows]; // before anybody sorts them
  const line = document.querySelector('[data-filtered]');
  let columns = null;
  let turn = 0;

  /** A cell with the parts that change. Its place among all stands for its mean: both tie alike. */
  function entryOf(cell, index) {
    const [nth, could] = [cell.querySelector('.nth'), cell.querySelector('.of-range')];
    const among = Number(cell.dataset.value);
    const of = element('span', { class: 'of' });
    return { index, cell, parts: { nth, could, of }, among, mean: -among, written: could.textContent };
  }

  async function columnOf({ cellIndex, dataset }) {
    const { setups, kinds, opposites } = await data(dataset.columnVerdicts);
    const bySetup = new Map(published.map((row) => [row.dataset.setup, row]));
    const entries = setups.map((setup, index) => entryOf(bySetup.get(setup).cells[cellIndex], index));
    return { pairs: shown.verdictsOf({ setups, kinds, opposites }), entries };
  }

  async function load() {
    columns ??= await Promise.all(headings.map(columnOf));
    return columns;
  }

  function draw({ cell, parts: { nth, could, of }, among, place, range }, isWhole) {
    nth.textContent = place;
    could.textContent = range;
    of.textContent = isWhole ? '' : say('{place} in all', { place: among });
    if (!of.isConnected) could.after(of);
    cell.dataset.value = place; // in the order of the places among all, and what a file of the table says
  }

  /** What is to be drawn in each row, of every column. */
  function standings(isWhole) {
    const drawings = new Map();
    for (const { pairs, entries } of columns) {
      const among = entries.filter(({ cell }) => !cell.parentNode.hidden);
      const made = isWhole
        ? among.map((one) => ({ ...one, place: one.among, range: one.written }))
        : shown.standing(among, pairs, 1, true).entries.map((one) => ({ ...one, range: shown.range(one) }));
      for (const one of made) {
        const row = one.cell.parentNode;
        if (!drawings.has(row)) drawings.set(row, []);
        drawings.get(row).push(() => draw(one, isWhole));
      }
    }
    return [...rows].flatMap((row) => (drawings.has(row) ? [drawings.get(row)] : []));
  }

  /** A screen of rows now, the others when the browser has time. */
  function drawRows(drawings) {
    const mine = turn;
    for (const one of drawings.slice(0, AT_ONCE).flat()) one();
    if (drawings.length > AT_ONCE) whenIdle(() => mine === turn && drawRows(drawings.slice(AT_ONCE)));
  }

  async function update() {
    const mine = ++turn;
    const many = published.filter((row) => !row.hidden).length;
    const isWhole = many === published.length;
    line.hidden = isWhole;
    line.querySelector('[data-filtered-words]').textContent = say(
      '{shown} of {all} set-ups ({filters}); places are among these, with the place in all below.',
      { shown: many, all: published.length, filters: filters.words().join(', ') },
    );
    if (!columns && isWhole) return;
    if (!columns) await load();
    if (mine === turn) drawRows(standings(isWhole)); // not changed anew while the data were loading
  }

  document.addEventListener('trialpress:soon', load);
  document.addEventListener('trialpress:shown', update);
  update();
})();
