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
  const { address, data, element, halfEven, listing, mark, number, relation, say, sayCount } =
    window.trialpress;
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

  /** The set-ups shown, in the order of the standing; means in whole numbers of their last digit. */
  function entriesOf({ setups, decimals }) {
    return setups
      .map((setup, index) => ({ setup, index, row: rows.get(setup) }))
      .filter(({ row }) => row && !row.hidden)
      .map((one) => ({
        ...one,
        name: valueOf(one.row, '.name'),
        mean: halfEven(Number(valueOf(one.row, '.value')) * 10 ** decimals, 0),
      }));
  }

  /** The set-ups shown, cut after their first places; ties share a place. */
  function cut(relations, first) {
    const sign = relations.cut.isHigherBetter ? 1 : -1;
    const entries = entriesOf(relations);
    const isBetter = (one, other) =>
      one !== other && relation(relations, one.index, other.index).verdict[0] === 'better';
    for (const one of entries) {
      one.place = 1 + entries.filter(({ mean }) => sign * (mean - one.mean) > 0).length;
      one.isInside = one.place <= first;
    }
    const cutAt = entries.findLast(({ isInside }) => isInside)?.mean;
    for (const one of entries) {
      one.gap = sign * (cutAt - one.mean);
      one.top = topOf(one, entries, first, isBetter);
      one.swaps = entries.filter(
        (other) =>
          other.isInside !== one.isInside &&
          !(one.isInside ? isBetter(one, other) : isBetter(other, one)),
      );
    }
    return { entries, cutAt, first };
  }

  /** Whether every, some or no place that the runs leave open is among the first. */
  function topOf(one, entries, first, isBetter) {
    const best = 1 + entries.filter((other) => isBetter(other, one)).length;
    const worst = entries.length - entries.filter((other) => isBetter(one, other)).length;
    if (worst <= first) return 'certain';
    return best <= first ? 'possible' : 'out';
  }

  /** The sentences on one cut, in the phrases of the published ones. */
  class Words {
    constructor({ entries, cutAt, first }, { decimals, cut: told }) {
      Object.assign(this, { entries, cutAt, first, decimals, told, phrases: told.phrases });
    }

    figure(value) {
      return number(value / 10 ** this.decimals, this.decimals);
    }

    gap(one) {
      return `${this.figure(Math.abs(one.gap))}\u00a0${this.told.differenceUnit}`;
    }

    count(many) {
      return sayCount('{count}\u00a0set-up', '{count}\u00a0set-ups', many);
    }

    /** What the runs leave open about the side one is on. */
    swap(one) {
      if (one.top !== 'possible') return this.phrases[one.top];
      if (!one.swaps.length) return this.phrases.untold;
      const side = one.isInside ? this.phrases.outside : this.phrases.inside;
      return say(this.phrases.swap, { others: this.count(one.swaps.length), side });
    }

    top() {
      const { entries, first, phrases } = this;
      const { title, unit } = this.told;
      if (!entries.length) return say(phrases.none, { title });
      const who = entries
        .filter(({ isInside }) => isInside)
        .map((one) => say(phrases.entry, { ...one, mean: this.figure(one.mean) }));
      const start = say(phrases.top, {
        first: Math.min(first, entries.length),
        tried: this.count(entries.length),
        title,
        who: listing(who),
        cut: `${this.figure(this.cutAt)}\u00a0${unit}`,
      });
      const next = entries.find(({ isInside }) => !isInside);
      if (!next) return start;
      return `${start} ${say(phrases.next, { ...next, gap: this.gap(next), swap: this.swap(next) })}`;
    }

    /** The set-up of interest; blank where there is none. */
    own(setup) {
      if (!rows.has(setup)) return '';
      const { entries, phrases, told } = this;
      const one = entries.find((entry) => entry.setup === setup);
      if (!one) return say(phrases.apart, { name: valueOf(rows.get(setup), '.name') });
      const inside = one.isInside ? 'ahead' : 'short';
      return say(phrases.own, {
        ...one,
        title: told.title,
        of: entries.length,
        side: one.isInside ? phrases.inside : phrases.outside,
        far: say(phrases[one.gap === 0 ? 'level' : inside], { gap: this.gap(one) }),
        swap: this.swap(one),
      });
    }

    swaps() {
      return this.entries
        .filter(({ isInside, swaps: others }) => isInside && others.length)
        .map((one) => {
          const who = listing(one.swaps.map(({ name }) => name));
          return say(this.phrases.swaps, { ...one, who });
        });
    }
  }

  function showInTable({ entries, first }, { verdicts }) {
    for (const { row, top: verdict } of entries) {
      row.querySelector('.in-cut').replaceChildren(mark(...verdicts[verdict]));
    }
    const last = entries.findLast(({ isInside }) => isInside);
    const hasMore = entries.some(({ isInside }) => !isInside);
    const isWhole = entries.length === rows.size;
    const words = isWhole ? topWords(first) : say('Top {first} of those shown', { first });
    label(words, hasMore ? last?.row : null);
  }

  function topWords(first) {
    return say('Top {first}', { first });
  }

  /** The words of heading and labels, and the line below the last one inside. */
  function label(words, last) {
    head.textContent = words;
    for (const row of rows.values()) {
      row.querySelector('.in-cut').dataset.label = words;
      row.classList.toggle('last-in-cut', row === last);
    }
  }

  function restore() {
    for (const [part, html] of published) part.innerHTML = html;
    own.hidden = true;
    label(topWords(usual), lastInCut);
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
    const words = new Words(made, relations);
    top.textContent = words.top();
    own.textContent = words.own(chosen);
    own.hidden = !own.textContent;
    swaps.replaceChildren(
      ...words.swaps().map((text) => element('li', {}, element('span', {}, text))),
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
