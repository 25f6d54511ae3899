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

  /** How well an entry fits, 0 best; null is not at all. */
  function rank({ title, all, words }, query) {
    const wanted = query.split(' ');
    const starts = (text) => wanted.every((word) => ` ${text}`.includes(` ${word}`));
    const holds = (text) => wanted.every((word) => text.includes(word));
    const fits = [
      title === query,
      title.startsWith(query),
      starts(title),
      holds(title),
      starts(all),
      holds(all),
      wanted.every((word) => words.some((other) => isNearly(word, other))),
    ];
    const best = fits.indexOf(true);
    return best < 0 ? null : best;
  }

  /** Whether a word, or the beginning of one, was meant: one letter wrong, missing or too many. */
  function isNearly(typed, word) {
    if (word.startsWith(typed)) return true;
    if (typed.length < ENOUGH_FOR_A_TYPO) return false;
    let start = 0;
    while (start < typed.length && typed[start] === word[start]) start += 1;
    const rest = typed.slice(start);
    const other = word.slice(start);
    const swapped = rest.length > 1 ? rest[1] + rest[0] + rest.slice(2) : rest;
    return (
      other.slice(1).startsWith(rest.slice(1)) ||
      other.slice(1).startsWith(rest) ||
      other.startsWith(rest.slice(1)) ||
      other.startsWith(swapped)
    );
  }

  async function find(text) {
    const query = plain(text);
    if (!query) return [];
    const ranked = (await readIndex()).map((one) => ({ ...one, rank: rank(one, query) }));
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
