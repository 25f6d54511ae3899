/*
 * Cuts a standing after any place, among the set-ups that the filter shows.
 *
 * In:  a section with `data-cut`, the rows of the standing, and the relations of its series with the
 *      phrases of the published sentences.
 * Out: the cut in words, who could swap, the set-up all are measured against wherever it stands;
 *      the verdicts and the line of the table; the number in the address as `top=`.
 */
'use strict';

(() => {
  const { address, data, element, mark, number, relation } = window.trialpress;
  const section = document.querySelector('[data-cut]');
  const field = section.querySelector('[data-cut-first]');
  const [top, own, swaps] = ['top', 'own', 'swaps'].map((part) =>
    section.querySelector(`[data-cut-${part}]`),
  );
  const table = document.querySelector('[data-relations]');
  const head = table.querySelector('[data-cut-head]');
  const rows = new Map();
  for (const row of table.querySelectorAll('tr[data-setup]')) rows.set(row.dataset.setup, row);
  const changing = [top, swaps, ...[...rows.values()].map((row) => row.querySelector('.in-cut'))];
  const published = new Map(changing.map((part) => [part, part.innerHTML]));
  const lastInCut = table.querySelector('.last-in-cut');
  const usual = Number(field.defaultValue);
  let turn = 0;

  function valueOf(row, part) {
    return row.querySelector(part).dataset.value;
  }

  function fill(phrase, values) {
    return phrase.replace(/\{(\w+)\}/g, (_, name) => values[name]);
  }

  function listing(names) {
    if (names.length < 2) return names.join('');
    return `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
  }

  /** The set-ups shown, cut after their first places; ties share a place. */
  function cut(relations, first) {
    const { setups, decimals, cut: told } = relations;
    const sign = told.isHigherBetter ? 1 : -1;
    const entries = setups
      .map((setup, index) => ({ setup, index, row: rows.get(setup) }))
      .filter(({ row }) => row && !row.hidden);
    const isBetter = (one, other) =>
      one !== other && relation(relations, one.index, other.index).verdict[0] === 'better';
    for (const one of entries) {
      one.mean = Math.round(Number(valueOf(one.row, '.value')) * 10 ** decimals);
      one.name = valueOf(one.row, '.name');
    }
    for (const one of entries) {
      one.place = 1 + entries.filter(({ mean }) => sign * (mean - one.mean) > 0).length;
      one.isInside = one.place <= first;
    }
    const cutAt = entries.findLast(({ isInside }) => isInside)?.mean;
    for (const one of entries) {
      const best = 1 + entries.filter((other) => isBetter(other, one)).length;
      const worst = entries.length - entries.filter((other) => isBetter(one, other)).length;
      one.top = worst <= first ? 'certain' : best <= first ? 'possible' : 'out';
      one.gap = sign * (cutAt - one.mean);
      one.swaps = entries.filter(
        (other) =>
          other.isInside !== one.isInside &&
          !(one.isInside ? isBetter(one, other) : isBetter(other, one)),
      );
    }
    return { entries, cutAt, first };
  }

  /** The sentences, in the phrases of the published ones. */
  function words({ entries, cutAt, first }, { decimals, cut: told }, chosen) {
    const { phrases: say, title } = told;
    const figure = (value) => number(value / 10 ** decimals, decimals);
    const gapOf = (one) => `${figure(Math.abs(one.gap))}\u00a0${told.differenceUnit}`;
    const count = (many) => `${many}\u00a0${say.set_up}${many === 1 ? '' : 's'}`;
    const swapOf = (one) => {
      if (one.top !== 'possible') return say[one.top];
      if (!one.swaps.length) return say.untold;
      const side = one.isInside ? say.outside : say.inside;
      return fill(say.swap, { others: count(one.swaps.length), side });
    };
    const sayOwn = (one) => {
      const way = one.gap === 0 ? 'level' : one.isInside ? 'ahead' : 'short';
      const far = fill(say[way], { gap: gapOf(one) });
      const side = one.isInside ? say.inside : say.outside;
      return fill(say.own, { ...one, title, of: entries.length, side, far, swap: swapOf(one) });
    };
    const mine = entries.find(({ setup }) => setup === chosen);
    const apart = rows.has(chosen)
      ? fill(say.apart, { name: valueOf(rows.get(chosen), '.name') })
      : '';
    if (!entries.length) return { top: fill(say.none, { title }), own: apart, swaps: [] };
    const inside = entries.filter(({ isInside }) => isInside);
    const who = listing(inside.map((one) => fill(say.entry, { ...one, mean: figure(one.mean) })));
    const at = `${figure(cutAt)}\u00a0${told.unit}`;
    const tried = count(entries.length);
    const most = Math.min(first, entries.length);
    const start = fill(say.top, { first: most, tried, title, who, cut: at });
    const next = entries.find(({ isInside }) => !isInside);
    const after = next && fill(say.next, { ...next, gap: gapOf(next), swap: swapOf(next) });
    return {
      top: next ? `${start} ${after}` : start,
      own: mine ? sayOwn(mine) : apart,
      swaps: inside
        .filter((one) => one.swaps.length)
        .map((one) => fill(say.swaps, { ...one, who: listing(one.swaps.map(({ name }) => name)) })),
    };
  }

  function showInTable({ entries, first }, { verdicts }) {
    for (const { row, top: verdict } of entries) {
      row.querySelector('.in-cut').replaceChildren(mark(...verdicts[verdict]));
    }
    const last = entries.findLast(({ isInside }) => isInside);
    const hasMore = entries.some(({ isInside }) => !isInside);
    label(first, hasMore ? last?.row : null);
  }

  /** The number in heading and labels, and the line below the last one inside. */
  function label(first, last) {
    head.textContent = `Top ${first}`;
    for (const row of rows.values()) {
      row.querySelector('.in-cut').dataset.label = head.textContent;
      row.classList.toggle('last-in-cut', row === last);
    }
  }

  function restore() {
    for (const [part, html] of published) part.innerHTML = html;
    own.hidden = true;
    label(usual, lastInCut);
  }

  async function update() {
    const mine = ++turn;
    const first = Math.max(1, Math.trunc(Number(field.value)) || usual);
    const chosen = address.read().get('against');
    const isWhole = [...rows.values()].every((row) => !row.hidden);
    if (first === usual && isWhole && !chosen) {
      restore();
      return;
    }
    const relations = await data(table.dataset.relations);
    if (mine !== turn) return; // changed anew while the data were loading
    const made = cut(relations, first);
    const said = words(made, relations, chosen);
    top.textContent = said.top;
    own.textContent = said.own;
    own.hidden = !said.own;
    swaps.replaceChildren(
      ...said.swaps.map((text) => element('li', {}, element('span', {}, text))),
    );
    showInTable(made, relations.cut);
  }

  field.form.addEventListener('submit', (event) => event.preventDefault());
  field.addEventListener('input', update);
  field.addEventListener('change', () => {
    address.change({ top: Number(field.value) === usual ? '' : field.value });
  });
  for (const change of ['shown', 'chosen']) {
    document.addEventListener(`trialpress:${change}`, update);
  }
  address.follow(() => {
    field.value = address.read().get('top') ?? usual;
    update();
  });
})();
