/*
 * Finds pages by name while a reader types, with the keyboard first.
 *
 * In:  forms with `data-search`; `trialpress.search`, which finds.
 * Out: a list under the box (the combobox pattern of the ARIA Authoring Practices), and on the
 *      search page all matches of `?q=`. Only a single match, or one chosen in the list, is opened.
 */
'use strict';

(() => {
  const { address, root, say, sayCount } = window.trialpress;
  const { plain, readIndex, find } = window.trialpress.search;
  const LIMIT = 8;

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
      this.active = -1; // none, until a reader chooses
      this.options = [];
      this.isBehind = false; // what is typed now has no list yet
      this.list = element('ul', { id: this.id, role: 'listbox', 'aria-label': say('Matching pages') });
      this.list.hidden = true;
      this.status = element('p', { class: 'unseen', role: 'status' });
      this.note = element('p', { 'aria-hidden': 'true' }); // the status says it
      this.found = element('div', { class: 'found' }, this.note, this.list);
      this.found.hidden = true;
      form.append(this.found, this.status);
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
      this.options = found.pages.slice(0, LIMIT).map((entry, position) => this.option(entry, position));
      this.list.replaceChildren(...this.options);
      this.mark(-1);
      const isAsked = plain(text) !== '';
      const isOpen = isAsked && this.options.length > 0;
      this.list.hidden = !isOpen;
      this.input.setAttribute('aria-expanded', String(isOpen));
      this.status.textContent = isAsked ? inWords(found).join(' ') : '';
      this.note.textContent = inWords(found).slice(Number(isOpen)).join(' ');
      this.note.hidden = this.note.textContent === '';
      this.found.hidden = !isAsked;
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
      else this.mark(this.next(step));
    }

    /** The one after or before what is marked, round at both ends. */
    next(step) {
      const { length } = this.options;
      return this.active < 0 && step < 0 ? length - 1 : (this.active + step + length) % length;
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
      this.found.hidden = true;
      this.input.setAttribute('aria-expanded', 'false');
      this.input.removeAttribute('aria-activedescendant');
    }

    /** Enter opens what is marked in the list, or the only match; it waits for them. Else all. */
    async submit(event) {
      if (event.submitter?.matches(':focus')) return;
      event.preventDefault();
      if (this.isBehind) await this.suggest().catch(() => {}); // no index: the search page tells
      const only = this.options.length === 1 ? this.options[0] : undefined;
      const current = this.list.hidden ? only : (this.options[this.active] ?? only);
      if (current) window.location.assign(current.dataset.url);
      else this.form.submit();
    }
  }

  /** How many pages match, and what is true of them only in part. */
  function inWords({ pages, without, isPartly, currency }) {
    const words = [
      pages.length
        ? sayCount('{count} page matches.', '{count} pages match.', pages.length)
        : say('No page matches.'),
    ];
    const quoted = without.map((word) => `“${word}”`);
    if (quoted.length && pages.length) {
      words.push(say('Left out, as no page has it: {words}.', { words: quoted.join(', ') }));
    }
    if (currency) words.push(say('Only machines with a price in {currency} are among them.', { currency }));
    if (isPartly) words.push(say('None has all of these words; these have most of them.'));
    return words;
  }

  /** On the search page: every match of the address, above the list of all pages. */
  async function showAll(place) {
    const text = address.read().get('q') ?? '';
    place.hidden = !plain(text);
    if (place.hidden) delete document.documentElement.dataset.asked;
    if (place.hidden) return;
    for (const box of document.querySelectorAll('[data-search] input')) box.value = text;
    const found = await find(text);
    const items = found.pages.map(({ t, k, u }) =>
      element('li', {}, element('a', { href: root + u }, t), ' ', element('span', { class: 'kind' }, k)),
    );
    place.replaceChildren(
      element('h2', {}, say('Matches for “{text}”', { text })),
      element('p', {}, inWords(found).join(' ')),
      element('ul', { class: 'ruled' }, ...items),
    );
  }

  document.querySelectorAll('[data-search]').forEach((form, number) => new Box(form, number));
  const place = document.querySelector('[data-search-results]');
  if (place) address.follow(() => showAll(place));
})();
