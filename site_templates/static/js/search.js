/*
 * Finds pages by name while a reader types, with the keyboard first.
 *
 * In:  forms with `data-search`; `static/search-index.js`, loaded when a box is first used.
 * Out: a list under the box (the combobox pattern of the ARIA Authoring Practices), and on the
 *      search page all matches of `?q=`.
 */
'use strict';

(() => {
  const { address, load, root, say, sayCount } = window.trialpress;
  const INDEX = 'static/search-index.js';
  const LIMIT = 8;
  const ENOUGH_FOR_A_TYPO = 4;

  /** Lower case, without accents, anything but letters and digits a space. */
  function plain(text) {
    const bare = text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
    return bare.replace(/[^\p{L}\p{N}]+/gu, ' ').trim();
  }

  /** The index with every entry made ready to compare. */
  async function readIndex() {
    await load(INDEX);
    readIndex.ready ??= window.trialpressIndex.map((entry) => {
      const title = plain(entry.t);
      const all = plain(`${entry.t} ${entry.x ?? ''}`);
      return { entry, title, all, words: all.split(' ') };
    });
    return readIndex.ready;
  }

  /** Readers' words, each with those that pages use for it: "pet:hair, quiet:noise". */
  const MEANT = new Map(
    say(
      'thick:rug, pet:hair, dog:hair, cat:hair, quiet:noise, loud:noise, battery:charge, mop:wet, cheap:price, gaps:crevices',
    )
      .split(',')
      .map((pair) => pair.split(':').map(plain)),
  );

  /** How well an entry fits, 0 best; null is not at all. */
  function rank({ title, all, words }, query) {
    const wanted = query.split(' ');
    const starts = (text) => wanted.every((word) => ` ${text}`.includes(` ${word}`));
    const holds = (text) => wanted.every((word) => text.includes(word));
    const joined = query.replaceAll(' ', '');
    const fits = [
      title === query,
      title.startsWith(query),
      starts(title),
      holds(title),
      starts(all),
      holds(all),
      joined.length >= ENOUGH_FOR_A_TYPO && all.replaceAll(' ', '').includes(joined),
      wanted.every((word) => all.includes(word) || all.includes(MEANT.get(word) ?? word)),
      wanted.every((word) => words.some((other) => isNearly(word, other))),
    ];
    const best = fits.indexOf(true);
    return best < 0 ? null : best;
  }

  /** Whether a word, or the beginning of one, was meant: a letter or two wrong; figures are exact. */
  function isNearly(typed, word) {
    if (word.startsWith(typed)) return true;
    if (typed.length < ENOUGH_FOR_A_TYPO || /\d/.test(typed)) return false;
    const most = typed.length > ENOUGH_FOR_A_TYPO ? 2 : 1;
    const ends = [word, word.slice(0, typed.length), word.slice(0, typed.length + 1)];
    return ends.some((end) => changes(typed, end) <= most);
  }

  /** How many letters are to be changed, put in, left out or swapped with the next. */
  function changes(one, other) {
    let older = [];
    let before = [...Array(other.length + 1).keys()];
    for (let i = 1; i <= one.length; i += 1) {
      const here = [i];
      for (let j = 1; j <= other.length; j += 1) {
        const differs = Number(one[i - 1] !== other[j - 1]);
        here[j] = Math.min(before[j] + 1, here[j - 1] + 1, before[j - 1] + differs);
        const isSwapped = i > 1 && j > 1 && one[i - 1] === other[j - 2] && one[i - 2] === other[j - 1];
        if (isSwapped) here[j] = Math.min(here[j], older[j - 2] + 1);
      }
      older = before;
      before = here;
    }
    return before[other.length];
  }

  /** The entries that fit, best first; where none does, words that no page has are left out. */
  async function find(text) {
    const query = plain(text);
    if (!query) return [];
    const index = await readIndex();
    const fitting = fittingIn(index, query);
    if (fitting.length) return fitting;
    const known = query.split(' ').filter((word) => fittingIn(index, word).length);
    return known.length ? fittingIn(index, known.join(' ')) : [];
  }

  function fittingIn(index, query) {
    const ranked = index.map((one) => ({ ...one, rank: rank(one, query) }));
    const fitting = ranked.filter((one) => one.rank !== null);
    fitting.sort((a, b) => a.rank - b.rank); // equals stay in the order of the index
    return fitting.map((one) => one.entry);
  }

  function element(tag, attributes, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
    node.append(...children);
    return node;
  }

  /** A search box with its list. */
  class Box {
    constructor(form, number) {
      this.form = form;
      this.input = form.elements.q;
      this.id = `search-list-${number}`;
      this.active = 0;
      this.options = [];
      this.isBehind = false; // what is typed now has no list yet
      this.list = element('ul', { id: this.id, role: 'listbox', 'aria-label': say('Matching pages') });
      this.list.hidden = true;
      this.status = element('p', { class: 'unseen', role: 'status' });
      form.append(this.list, this.status);
      const role = { role: 'combobox', 'aria-autocomplete': 'list', 'aria-controls': this.id };
      for (const [name, value] of Object.entries({ ...role, 'aria-expanded': 'false' })) {
        this.input.setAttribute(name, value);
      }
      this.input.addEventListener('focus', () => readIndex(), { once: true });
      this.input.addEventListener('input', () => {
        this.isBehind = true;
        this.suggest();
      });
      this.input.addEventListener('keydown', (event) => this.press(event));
      this.input.addEventListener('blur', () => this.close());
      form.addEventListener('submit', (event) => this.submit(event));
    }

    async suggest() {
      const text = this.input.value;
      const found = await find(text);
      if (text !== this.input.value) return; // typed on while the index was loading
      this.isBehind = false;
      this.options = found.slice(0, LIMIT).map((entry, position) => this.option(entry, position));
      this.list.replaceChildren(...this.options);
      this.mark(0);
      const isOpen = plain(text) !== '' && this.options.length > 0;
      this.list.hidden = !isOpen;
      this.input.setAttribute('aria-expanded', String(isOpen));
      this.status.textContent = plain(text) ? inWords(found.length) : '';
    }

    option({ t, k, u }, position) {
      const option = element(
        'li',
        { id: `${this.id}-${position}`, role: 'option' },
        element('span', {}, t),
        ' ',
        element('span', { class: 'kind' }, k),
      );
      option.dataset.url = root + u;
      // Before the box loses the focus, which closes the list.
      option.addEventListener('pointerdown', (event) => event.preventDefault());
      option.addEventListener('click', () => window.location.assign(option.dataset.url));
      return option;
    }

    press(event) {
      if (event.key === 'Escape' && !this.list.hidden) {
        this.close();
        event.preventDefault(); // a second one empties the box
      }
      const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      if (!step) return;
      event.preventDefault();
      if (this.list.hidden) this.suggest();
      else this.mark((this.active + step + this.options.length) % this.options.length);
    }

    mark(active) {
      this.active = active;
      this.options.forEach((option, position) => {
        option.setAttribute('aria-selected', String(position === active));
      });
      const current = this.options[active];
      if (current) {
        this.input.setAttribute('aria-activedescendant', current.id);
        current.scrollIntoView({ block: 'nearest' });
      } else this.input.removeAttribute('aria-activedescendant');
    }

    close() {
      this.list.hidden = true;
      this.input.setAttribute('aria-expanded', 'false');
      this.input.removeAttribute('aria-activedescendant');
    }

    /** Enter opens what is marked in the list, which it waits for; without a list, all matches. */
    async submit(event) {
      if (event.submitter?.matches(':focus')) return;
      event.preventDefault();
      if (this.isBehind) await this.suggest().catch(() => {}); // no index: the search page tells
      const current = this.list.hidden ? null : this.options[this.active];
      if (current) window.location.assign(current.dataset.url);
      else this.form.submit();
    }
  }

  function inWords(matches) {
    if (matches === 0) return say('No page matches.');
    return sayCount('{count} page matches.', '{count} pages match.', matches);
  }

  /** On the search page: every match of the address, above the list of all pages. */
  async function showAll(place) {
    const text = address.read().get('q') ?? '';
    place.hidden = !plain(text);
    if (place.hidden) return;
    for (const box of document.querySelectorAll('[data-search] input')) box.value = text;
    const found = await find(text);
    const items = found.map(({ t, k, u }) =>
      element('li', {}, element('a', { href: root + u }, t), ' ', element('span', {}, k)),
    );
    place.replaceChildren(
      element('h2', {}, say('Matches for “{text}”', { text })),
      element('p', {}, inWords(found.length)),
      element('ul', { class: 'ruled' }, ...items),
    );
  }

  document.querySelectorAll('[data-search]').forEach((form, number) => new Box(form, number));
  const place = document.querySelector('[data-search-results]');
  if (place) address.follow(() => showAll(place));
})();
