/*
 * Finds pages by what a reader types: names, the pages' words, readers' own words, a highest price.
 *
 * In:  `static/search-index.js`, loaded when it is first asked for.
 * Out: `trialpress.search`: plain(), readIndex() and find().
 */
'use strict';

(() => {
  const { load, say } = window.trialpress;
  const ENOUGH_FOR_A_TYPO = 4;

  // How a word fits a page, best first. One that begins a word somewhere is no part of another
  // word, and one that is found as it stands is not misspelt: the first class in which any page
  // fits is the class of the word.
  const CLASSES = [
    [inTitle, anywhere, asMeant],
    [insideTitle, insideAny, joined],
    [nearly],
  ];
  const KIND = 1; // fits as well as a word beside the title
  const JOINED = 5;

  /** Lower case, without accents, anything but letters and digits a space. */
  function plain(text) {
    const bare = text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
    return bare.replace(/[^\p{L}\p{N}]+/gu, ' ').trim();
  }

  /** The index, every page and word of it made ready to compare. */
  async function readIndex() {
    await load('static/search-index.js');
    readIndex.ready ??= ready(window.trialpressIndex);
    return readIndex.ready;
  }

  function ready({ pages, meant, upTo, currency, kinds }) {
    return {
      pages: pages.map((entry) => {
        const title = plain(entry.t);
        const all = plain(`${entry.t} ${entry.x}`);
        return { entry, title, all, words: all.split(' '), joined: all.replaceAll(' ', '') };
      }),
      meant: new Map(
        meant.map(([word, ours]) => [plain(word), ours.map((words) => plain(words).split(' '))]),
      ),
      kinds: new Map(Object.entries(kinds).map(([kind, words]) => [plain(words), { kind, words }])),
      upTo: upTo.map(plain),
      currency,
    };
  }

  function inTitle({ text }, { title }) {
    return ` ${title}`.includes(` ${text}`);
  }

  function anywhere({ text }, { all }) {
    return ` ${all}`.includes(` ${text}`);
  }

  function asMeant({ meant }, { all }) {
    return meant.some((words) => words.every((word) => ` ${all}`.includes(` ${word}`)));
  }

  function insideTitle({ text }, { title }) {
    return title.includes(text);
  }

  function insideAny({ text }, { all }) {
    return all.includes(text);
  }

  /** Words run together. */
  function joined({ text }, page) {
    return text.length >= ENOUGH_FOR_A_TYPO && page.joined.includes(text.replaceAll(' ', ''));
  }

  function nearly({ text }, { words }) {
    return words.some((word) => isNearly(text, word));
  }

  /** Whether a word, or the beginning of one, was meant: a letter or two wrong; figures are exact. */
  function isNearly(typed, word) {
    if (typed.length < ENOUGH_FOR_A_TYPO || /\d/.test(typed)) return false;
    const most = typed.length > ENOUGH_FOR_A_TYPO ? 2 : 1;
    const ends = [word, word.slice(0, typed.length), word.slice(0, typed.length + 1)];
    return ends.some((end) => changes(typed, end) <= most);
  }

  /** How many letters are to be changed, put in, left out or swapped with the next. */
  function changes(typed, other) {
    let older = [];
    let before = [...Array(other.length + 1).keys()];
    for (let i = 1; i <= typed.length; i += 1) {
      const here = [i];
      for (let j = 1; j <= other.length; j += 1) {
        const differs = Number(typed[i - 1] !== other[j - 1]);
        here[j] = Math.min(before[j] + 1, here[j - 1] + 1, before[j - 1] + differs);
        const isSwapped = i > 1 && j > 1 && typed[i - 1] === other[j - 2] && typed[i - 2] === other[j - 1];
        if (isSwapped) here[j] = Math.min(here[j], older[j - 2] + 1);
      }
      older = before;
      before = here;
    }
    return before[other.length];
  }

  /** What is typed, taken apart: words, each with what it may mean, and a highest price. */
  function readQuery(text, index) {
    const { upTo, currency } = index;
    const query = plain(text.replace(/[<\u2264]=?/g, ` ${upTo[0]} `));
    const money = plain(currency);
    const price = new RegExp(
      `(?:^| )(?:(?:${upTo.join('|')})(?: ${money})? (\\d+)(?: ${money})?|(\\d+) ${money}|${money} (\\d+))(?= |$)`,
    );
    const most = query.match(price)?.slice(1).find(Boolean);
    const rest = query.replace(price, '').trim();
    return { query: rest, price: most ? Number(most) : null, words: rest ? wordsOf(rest, index) : [] };
  }

  /** The words of a query; two that mean something together are one. */
  function wordsOf(query, { pages, meant, kinds }) {
    const typed = query.split(' ');
    const words = [];
    while (typed.length) {
      const lengths = [...typed.keys()].map((position) => typed.length - position);
      const length = lengths.find((count) => isKnown(typed.slice(0, count).join(' '))) ?? 1;
      const text = typed.splice(0, length).join(' ');
      words.push(classed({ text, meant: meant.get(text) ?? [], kind: kinds.get(text) }, pages));
    }
    return words;

    function isKnown(text) {
      return meant.has(text) || kinds.has(text);
    }
  }

  /** A word with the ways in which it fits pages, and how well each does; none where no page has it. */
  function classed(word, pages) {
    let rank = 0;
    for (const ways of CLASSES) {
      const ranked = ways.map((fits, position) => ({ fits, rank: rank + position }));
      if (pages.some((page) => ways.some((fits) => fits(word, page)))) return { ...word, ways: ranked };
      rank += ways.length;
    }
    return { ...word, ways: [] };
  }

  /** How well a word fits a page, 0 best; null is not at all. A kind can be filtered by instead. */
  function fit(word, page, canFilter) {
    const way = word.ways.find(({ fits }) => fits(word, page));
    return way?.rank ?? (canFilter && word.kind ? KIND : null);
  }

  /** A page that fits with its rank and, where it can be filtered, as it will be; else null. */
  function ranked(page, { query, words, price }) {
    const canFilter = page.entry.f === true && words.some((word) => !word.kind);
    if (price !== null && !canFilter && !(page.entry.p <= price)) return null;
    const fits = words.map((word) => fit(word, page, canFilter));
    const misses = fits.filter((one) => one === null).length;
    const isJoined = misses > 0 && joined({ text: query }, page);
    if (misses === words.length && words.length && !isJoined) return null;
    const better = [page.title === query, query !== '' && page.title.startsWith(query)].indexOf(true);
    const best = isJoined ? JOINED : Math.max(0, ...fits);
    const kinds = canFilter ? words.filter((word) => word.kind && !word.ways.some(({ fits: has }) => has(word, page))) : [];
    return {
      entry: kinds.length || price !== null ? narrowed(page.entry, kinds, price) : page.entry,
      misses: isJoined ? 0 : misses,
      rank: better >= 0 ? better - 2 : best,
    };
  }

  /** A page with a kind and a price as its filters, or a machine with its price. */
  function narrowed({ t, k, u, p }, kinds, most) {
    const { currency } = window.trialpressIndex;
    if (p !== undefined) return { t, k: `${k}, ${currency}\u00a0${p}`, u };
    const filters = kinds.slice(0, 1).map(({ kind }) => kind.words);
    const query = new URLSearchParams(kinds.slice(0, 1).map(({ kind }) => ['kind', kind.kind]));
    if (most !== null) {
      filters.push(say('up to {price}', { price: `${currency}\u00a0${most}` }));
      query.set('price_max', most);
    }
    return { t: `${t}: ${filters.join(', ')}`, k, u: `${u}?${query}` };
  }

  /**
   * The pages that fit, best first. Words that no page has are left out; where no page has all of
   * the others, those that have most.
   */
  async function find(text) {
    const index = await readIndex();
    const { query, price, words } = readQuery(text, index);
    const known = words.filter((word) => word.ways.length || word.kind);
    const isNothing = price === null && !plain(text);
    const asked = { query, price, words: known.length ? known : words };
    const all = isNothing ? [] : index.pages.map((page) => ranked(page, asked)).filter(Boolean);
    const fewest = Math.min(...all.map(({ misses }) => misses));
    const pages = all.filter(({ misses }) => misses === fewest);
    pages.sort((a, b) => a.rank - b.rank); // equals stay in the order of the index
    return {
      pages: pages.map(({ entry }) => entry),
      without: fewest || known.length ? words.filter((word) => !known.includes(word)).map((word) => word.text) : [],
      isPartly: pages.length > 0 && fewest > 0,
      currency: price !== null && pages.some(({ entry }) => !entry.u.includes('?')) ? index.currency : null,
    };
  }

  window.trialpress.search = { plain, readIndex, find };
})();
