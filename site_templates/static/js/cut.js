/*
 * Words the cut of a standing after any place, among the set-ups that the filter shows.
 *
 * In:  a section with `data-cut`; `trialpress:standing` with the standing of those shown and the
 *      phrases of the published sentences.
 * Out: the cut in words, who could swap, the set-up all are measured against wherever it stands.
 */
'use strict';

(() => {
  const { address, element, listing, number, say, sayCount, shown } = window.trialpress;
  const section = document.querySelector('[data-cut]');
  const [top, own, swaps] = ['top', 'own', 'swaps'].map((part) =>
    section.querySelector(`[data-cut-${part}]`),
  );
  const published = new Map([top, swaps].map((part) => [part, part.innerHTML]));

  /** The sentences on one cut, in the phrases of the published ones. */
  class Words {
    constructor({ entries, cutAt, first, pairs, told: { decimals, cut: told } }) {
      Object.assign(this, { cutAt, first, decimals, told, phrases: told.phrases });
      this.entries = entries;
      this.swapsOf = (one) => shown.couldSwap(one, entries, pairs);
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
      const others = this.swapsOf(one);
      if (!others.length) return this.phrases.untold;
      const side = one.isInside ? this.phrases.outside : this.phrases.inside;
      return say(this.phrases.swap, { others: this.count(others.length), side });
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
      const row = document.querySelector(`[data-relations] tr[data-setup="${CSS.escape(setup ?? '')}"]`);
      if (!row) return '';
      const { entries, phrases, told } = this;
      const one = entries.find((entry) => entry.setup === setup);
      if (!one) return say(phrases.apart, { name: row.querySelector('.name').dataset.value });
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

    /** Set-ups one after the other that the same ones could replace share a sentence. */
    swaps() {
      const groups = [];
      for (const one of this.entries.filter(({ isInside }) => isInside)) {
        const others = this.swapsOf(one);
        const key = others.map(({ index }) => index).join();
        if (groups.at(-1)?.key === key) groups.at(-1).names.push(one.name);
        else groups.push({ key, names: [one.name], others });
      }
      return groups
        .filter(({ others }) => others.length)
        .map(({ names, others }) => {
          const who = this.named(others);
          if (names.length === 1) return say(this.phrases.swaps, { name: names[0], who });
          return say(this.phrases.each, { names: listing(names), who });
        });
    }

    named(others) {
      const { mostNamed } = this.told;
      const isAll = others.length <= mostNamed;
      const named = (isAll ? others : others.slice(0, mostNamed - 1)).map(({ name }) => name);
      const more = others.length - named.length;
      return listing(more ? [...named, sayCount('{count} more', '{count} more', more)] : named);
    }
  }

  document.addEventListener('trialpress:standing', ({ detail }) => {
    const words = new Words(detail);
    own.textContent = words.own(address.read().get('against'));
    own.hidden = !own.textContent;
    if (detail.isPublished) {
      for (const [part, html] of published) part.innerHTML = html;
      return;
    }
    top.textContent = words.top();
    swaps.replaceChildren(
      ...words.swaps().map((text) => element('li', {}, element('span', {}, text))),
    );
  });
})();
