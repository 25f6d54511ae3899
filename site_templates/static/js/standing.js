/*
 * Makes a filtered table one answer: a standing of the set-ups shown, with places of its own.
 *
 * In:  a table with `data-verdicts`, the name of the verdicts to load when the filter or the cut is
 *      first reached for; `trialpress:shown` whenever other set-ups are shown.
 * Out: places, brackets, tint, cut and lead of those shown, with the places among all beside them;
 *      the line that says what is left out; `trialpress:standing` with the standing as its detail.
 */
'use strict';

(() => {
  const { address, data, element, filters, listing, mark, rows: lines, say, sayCount, shown } = window.trialpress;
  const WIDTH = 120; // of the drawing, as in the written page
  const table = document.querySelector('[data-verdicts]');
  const lead = document.querySelector('[data-lead]');
  const line = document.querySelector('[data-filtered]');
  const field = document.querySelector('[data-cut-first]');
  const usual = Number(table.dataset.top);
  const written = lead.textContent;
  const ofWhole = document.querySelectorAll('[data-of-whole]');
  const rows = new Map();
  let known = null;
  let turn = 0;
  let later = [];
  const AT_ONCE = 100; // rows
  const whenIdle = window.requestIdleCallback ?? ((call) => window.setTimeout(call, 50));

  /** A row with the parts that change, looked up once; its drawing, when it is first drawn anew. */
  function partsOf(row) {
    const [place, range, inCut] = ['.place', '.range', '.in-cut'].map((one) => row.querySelector(one));
    const { value: among } = place.dataset;
    const name = row.querySelector('.name').dataset.value;
    return { row, place, range, inCut, among: Number(among), name };
  }

  function drawingOf({ row, range }) {
    lines.complete(row);
    const [could, numerals, bracket, dot] = ['.could', '.bracketed', '.bracket', '.dot'].map((part) =>
      range.querySelector(part),
    );
    return { could, numerals, bracket, dot };
  }

  for (const row of table.querySelectorAll('tr[data-setup]')) rows.set(row.dataset.setup, row);

  async function load() {
    const told = await data(table.dataset.verdicts);
    const scale = 10 ** told.decimals;
    known ??= {
      told,
      pairs: shown.verdictsOf(told),
      entries: told.setups.map((setup, index) => {
        const parts = partsOf(rows.get(setup));
        const mean = Math.round(Number(parts.row.querySelector('.value').dataset.value) * scale);
        return { setup, index, mean, name: parts.name, parts };
      }),
    };
    return known;
  }

  function xy(coordinate) {
    return String(Number(coordinate.toFixed(2)));
  }

  /** Ticks, as the written page has them: not more than can be told from each other. */
  function ticksOf(many) {
    const every = [1, 2, 5, 10, 20, 50, 100, 200, 500].find((one) => many <= one * 60) ?? 500;
    const step = WIDTH / Math.max(many, 1);
    const others = Math.max(Math.ceil(many / every) - 1, 0);
    return `M${xy(step / 2)} 12v3${`m${(step * every).toFixed(3)}-3v3`.repeat(others)}`;
  }

  function draw({ entries, first }, isWhole, { verdicts }) {
    const words = isWhole ? say('Top {first}', { first }) : say('Top {first} of those shown', { first });
    table.querySelector('[data-cut-head]').textContent = words;
    const how = { many: entries.length, isWhole, verdicts, words };
    const many = entries.length;
    const scale = document.querySelector('#places');
    scale.querySelector('.ticks').setAttribute('d', ticksOf(many));
    scale.querySelector('.cut').setAttribute('width', xy((WIDTH / Math.max(many, 1)) * Math.min(first, many)));
    const last = entries.find(({ isLast }) => isLast)?.parts.row;
    for (const row of table.querySelectorAll('.last-in-cut')) if (row !== last) row.classList.remove('last-in-cut');
    last?.classList.add('last-in-cut');
    later = entries.filter(({ parts }) => parts.row.hidden);
    for (const one of entries) {
      if (!one.parts.row.hidden) drawRow(one, how);
    }
    drawLater(how);
  }

  /** What is further down is drawn when the browser has time, some rows at once. */
  function drawLater(how) {
    const mine = turn;
    whenIdle(() => {
      if (mine !== turn) return; // they are drawn otherwise by now
      for (const one of later.splice(0, AT_ONCE)) drawRow(one, how);
      if (later.length) drawLater(how);
    });
  }

  function drawRow(one, { many, isWhole, verdicts, words }) {
    const { parts, place, top } = one;
    parts.drawing ??= drawingOf(parts);
    const { could, numerals, bracket, dot } = parts.drawing;
    const of = isWhole ? '' : element('span', { class: 'of' }, say('{place} in all', { place: parts.among }));
    parts.place.replaceChildren(String(place), of);
    parts.place.dataset.value = place; // in the order of the places among all, and what a file of the table says
    could.textContent = shown.could(one);
    numerals.textContent = shown.range(one);
    const drawn = lines.bracketOf(one, many);
    bracket.setAttribute('d', drawn.d);
    dot.setAttribute('cx', drawn.cx);
    parts.inCut.replaceChildren(mark(...verdicts[top]));
    parts.inCut.dataset.label = words;
  }

  /** Who comes first of those shown, and how many of the others can be told from it. */
  function leadOf({ entries }, { all, many }) {
    const [one, ...others] = entries;
    if (!others.length) return say('Only {setup} is shown: there is nothing to compare it with.', { setup: one.name });
    const kinds = others.map(({ index }) => all[index * many + one.index]);
    const worse = kinds.filter((kind) => kind >= 6).length;
    const level = kinds.filter((kind) => kind === 2 || kind === 3).length;
    const untold = kinds.length - worse - level;
    const relations = [
      [worse, sayCount('{count} is worse', '{count} are worse', worse)],
      [level, sayCount('{count} is level with it', '{count} are level with it', level)],
      [untold, sayCount('{count} cannot be told from it', '{count} cannot be told from it', untold)],
    ].filter(([count]) => count);
    return say('{setup} comes first by mean. Of the others, {others}.', {
      setup: one.name,
      others: listing(relations.map(([, words]) => words)),
    });
  }

  function tell(standing, isWhole, { entries: all, pairs }) {
    const { entries } = standing;
    line.hidden = isWhole;
    for (const part of ofWhole) part.hidden = !isWhole;
    if (isWhole) {
      lead.textContent = written;
      return;
    }
    const set = { shown: entries.length, all: all.length, filters: filters.words().join(', ') };
    lead.textContent = entries.length
      ? say('Of {shown} set-ups ({filters}): {lead}', { ...set, lead: leadOf(standing, pairs) })
      : say('None of the {all} set-ups passes the filter ({filters}).', set);
    const [best] = all;
    const isOut = entries[0]?.setup !== best.setup;
    line.querySelector('[data-filtered-words]').textContent = [
      say('{shown} of {all} set-ups; places and brackets are among these.', set),
      isOut ? say('The first of all, {name}, is not one of them.', { name: best.name }) : '',
    ].join(' ');
  }

  async function update() {
    const mine = ++turn;
    const first = Math.max(1, Math.trunc(Number(field?.value)) || usual);
    const isWhole = [...rows.values()].every(lines.isShown);
    const isAsked = !isWhole || first !== usual || address.read().has('against');
    if (!known && !isAsked) return;
    const { told, pairs, entries } = known ?? (await load()); // drawn before anybody asks where things are
    if (mine !== turn) return; // changed anew while the data were loading
    const among = entries.filter(({ parts }) => lines.isShown(parts.row));
    const made = shown.standing(among, pairs, first, told.cut.isHigherBetter);
    const inside = made.entries.filter(({ isInside }) => isInside);
    if (inside.length < made.entries.length) inside.at(-1).isLast = true;
    table.toggleAttribute('data-among-shown', !isWhole);
    draw(made, isWhole, told.cut);
    tell(made, isWhole, known);
    const detail = { ...made, pairs, told, isPublished: isWhole && first === usual };
    document.dispatchEvent(new CustomEvent('trialpress:standing', { detail }));
  }

  document.addEventListener('trialpress:soon', load);
  if (field) {
    field.addEventListener('focus', load);
    field.form.addEventListener('submit', (event) => event.preventDefault());
    field.addEventListener('input', update);
    field.addEventListener('change', () => {
      address.change({ top: Number(field.value) === usual ? '' : field.value });
    });
  }
  for (const change of ['shown', 'chosen']) document.addEventListener(`trialpress:${change}`, update);
  address.follow(() => {
    if (field) field.value = address.read().get('top') ?? usual;
    update();
  });
})();
