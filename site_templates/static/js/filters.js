/*
 * Filters the rows and the charts of a page by what is known of each set-up.
 *
 * In:  a form with `data-filters` and rows with `data-setup`, `data-kind` and so on.
 * Out: rows hidden or shown, the count in words, the charts in step, the view in the address;
 *      `trialpress.filters`: words(), what is filtered by, and clear(); `trialpress:soon` when a
 *      reader first reaches for the filters, so that what the first one needs is there by then.
 */
'use strict';

(() => {
  const { address, charts, rows: lines, say } = window.trialpress;
  const form = document.querySelector('[data-filters]');
  const count = form.querySelector('[data-filter-count]');
  const rows = [...document.querySelectorAll('[data-rows] > tr')];
  const names = new Map();
  const controls = [...form.elements].filter((control) => control.name);

  /** Whether a row passes one control. A row that does not know the answer does not pass. */
  function passes(row, { name, value }) {
    const { price } = row.dataset;
    if (name === 'find') return nameOf(row).includes(plain(value));
    if (name === 'price_min') return price !== '' && Number(price) >= Number(value);
    if (name === 'price_max') return price !== '' && Number(price) <= Number(value);
    return row.dataset[name] === value;
  }

  /** Letters as somebody types them who leaves accents and signs out. */
  function plain(text) {
    return text.normalize('NFD').replace(/[^\p{L}\p{N}]/gu, '').toLowerCase();
  }

  function nameOf(row) {
    if (!names.has(row)) {
      const cell = row.querySelector('.name');
      names.set(row, plain(cell.dataset.value ?? cell.textContent));
    }
    return names.get(row);
  }

  /** The controls in use, as the address holds them. */
  function chosen() {
    return controls
      .map((control) => ({ name: control.name, value: valueOf(control) }))
      .filter(({ value }) => value !== '');
  }

  function valueOf(control) {
    if (control.type === 'checkbox') return control.checked ? 'true' : '';
    return control.value;
  }

  function apply() {
    const filters = chosen();
    const setups = new Set();
    for (const row of rows) {
      const isOut = !filters.every((filter) => passes(row, filter));
      // Writing what is so already costs too; which lines of a long ranking come into view is its own choice.
      if (isOut !== (row.hidden === true)) row.hidden = isOut || (lines?.waiting() ?? false);
      if (!isOut) setups.add(row.dataset.setup);
    }
    const all = new Set(rows.map((row) => row.dataset.setup));
    count.textContent = say('{shown} of {all} shown', { shown: setups.size, all: all.size });
    document.dispatchEvent(new Event('trialpress:shown'));
    charts?.show(filters.length ? [...setups] : null); // last, as it asks where the charts are now
  }

  /** What is filtered by, in the words of the controls. */
  function words() {
    return controls
      .filter((control) => valueOf(control) !== '')
      .map((control) => {
        if (control.type === 'select-one') return control.selectedOptions[0].text;
        if (control.type === 'checkbox') return control.closest('label').textContent.trim();
        if (control.name === 'find') return `\u201c${control.value}\u201d`;
        const { currency } = control.form.dataset;
        const price = `${currency}\u00a0${control.value}`;
        return control.name === 'price_min' ? say('from {price}', { price }) : say('up to {price}', { price });
      });
  }

  function clear() {
    for (const control of controls) {
      if (control.type === 'checkbox') control.checked = false;
      else control.value = '';
    }
    apply();
    keepInAddress();
  }

  function keepInAddress() {
    const filters = chosen();
    const value = (name) => filters.find((filter) => filter.name === name)?.value ?? '';
    address.change(Object.fromEntries(controls.map(({ name }) => [name, value(name)])));
  }

  function takeFromAddress() {
    const query = address.read();
    for (const control of controls) {
      const value = query.get(control.name) ?? '';
      if (control.type === 'checkbox') control.checked = value === 'true';
      else control.value = value;
      // A value that the page does not know is no filter.
      if (control.type === 'select-one' && control.selectedIndex < 0) control.value = '';
    }
    apply();
  }

  for (const sign of ['pointerenter', 'focusin']) {
    const around = form.closest('details') ?? form;
    around.addEventListener(sign, () => document.dispatchEvent(new Event('trialpress:soon')), { once: true });
  }
  form.addEventListener('input', apply);
  form.addEventListener('change', keepInAddress);
  form.addEventListener('submit', (event) => event.preventDefault());
  form.addEventListener('reset', (event) => {
    event.preventDefault(); // the browser would bring back what the page was opened with
    clear();
  });

  form.hidden = false;
  window.trialpress.filters = { words, clear };
  address.follow(takeFromAddress);
})();
