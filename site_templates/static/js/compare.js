/*
 * Puts up to four set-ups side by side.
 *
 * In:  `?with=a,b,c` in the address, or set-ups picked from the list; of the site's data the rulers, a
 *      column a set-up, and how all others stand towards the first.
 * Out: a table with a column a set-up, as `partials/beside.html` writes it: every protocol has its
 *      intervals on one ruler. Differences and verdicts are towards the first.
 */
'use strict';

(() => {
  const { address, data, element, mark, relation, root, say, sayCount, signed, svg } = window.trialpress;
  const LETTERS = 'ABCD';
  const form = document.querySelector('[data-compare]');
  const list = form.querySelector('[data-add]');
  const status = form.querySelector('[data-compare-status]');
  const start = document.querySelector('[data-compare-start]');
  const place = document.querySelector('[data-compare-table]');
  const atOnce = Number(form.dataset.atOnce);
  const offered = new Map([...list.options].filter((o) => o.value).map((o) => [o.value, o]));

  /** The set-ups of the address that there are, each once. */
  function asked() {
    const slugs = (address.read().get('with') ?? '').split(',');
    return [...new Set(slugs)].filter((slug) => offered.has(slug)).slice(0, atOnce);
  }

  function change(slugs) {
    address.change({ with: slugs.join(',') });
    return show();
  }

  async function show() {
    const slugs = asked();
    for (const [slug, option] of offered) option.disabled = slugs.includes(slug);
    list.value = '';
    list.disabled = slugs.length === atOnce;
    if (start) start.hidden = slugs.length > 0;
    status.textContent = inWords(slugs.length);
    if (!slugs.length) {
      place.replaceChildren();
      return;
    }
    const names = ['rulers', `relations/${slugs[0]}`, ...slugs.map((slug) => `setups/${slug}`)];
    const [rulers, towards, ...columns] = await Promise.all(names.map((name) => data(name)));
    if (slugs.join() !== asked().join()) return; // changed while the data were loading
    place.replaceChildren(table(slugs, columns, rulers, towards));
  }

  function inWords(count) {
    if (count === 0) return say('None yet.');
    if (count === 1) return say('One so far: add another.');
    if (count < atOnce) return sayCount('{count} side by side.', '{count} side by side.', count);
    return say('{most}, as many as fit. Take one away to add another.', { most: atOnce });
  }

  function table(slugs, columns, rulers, towards) {
    const made = element('table', { class: `beside-each-other of-${slugs.length}` });
    made.append(
      element('caption', { class: 'unseen' }, say('Set-ups side by side')),
      element('thead', {}, element('tr', {}, element('td'), ...columns.map(head))),
      element('tbody', {}, ...textRows(columns, 'top'), movesRow(slugs, columns)),
      element('tbody', {}, ...rulers.map((ruler) => row(ruler, columns, towards))),
      element('tbody', {}, ...textRows(columns, 'about'), claimsRow(columns)),
    );
    return made;
  }

  function head({ name }, i) {
    return element(
      'th',
      { scope: 'col', class: 'name' },
      element('span', { class: 'letter' }, LETTERS[i]),
      ' ',
      element('a', { href: root + name.url }, name.machine),
      ' ',
      element('span', { class: 'label' }, name.label),
    );
  }

  function movesRow(slugs, columns) {
    const cells = columns.map(({ name }, i) => {
      const rest = slugs.filter((_, other) => other !== i);
      const buttons = [button(say('Take away'), name, () => change(rest))];
      if (i > 0) buttons.unshift(button(say('Put first'), name, () => change([slugs[i], ...rest])));
      return element('td', {}, ...buttons);
    });
    return element('tr', { class: 'moves' }, element('td'), ...cells);
  }

  function button(words, { machine, label }, act) {
    const name = `${words}: ${machine} (${label})`;
    const made = element('button', { type: 'button', 'aria-label': name }, words);
    made.addEventListener('click', async () => {
      await act();
      list.focus(); // the button is gone with its table
    });
    return made;
  }

  function row(ruler, columns, towards) {
    const cells = columns.map((column) => column.cells[ruler.name]);
    const is = (cell) => relation(towards, ruler.name, cell.at);
    const isCompared = cells[0]?.value && ruler.name in towards.series;
    const told = cells.map((cell, i) => {
      if (!cell?.value) return element('td', {}, element('span', { class: 'why' }, cell?.note || say('not run')));
      const parts = figures(cell);
      if (i > 0 && isCompared) parts.push(thanFirst(is(cell)));
      return element('td', {}, ...parts);
    });
    const title = element('a', { href: root + ruler.url }, ruler.title);
    const unit = element('span', { class: 'label' }, ruler.unit);
    const heading = element('th', { scope: 'row' }, title, ' ', unit);
    if (cells.some((cell) => cell?.marks)) heading.append(drawn(ruler, cells));
    return element('tr', {}, heading, ...told);
  }

  function thanFirst(is) {
    const difference = element('span', { class: 'difference' }, signed(is));
    return element('p', { class: 'than-first' }, mark(...is.verdict), ' ', difference);
  }

  function figures({ value, interval, place: where, places, could, under }) {
    const range = element('span', { class: 'range', 'aria-hidden': 'true' }, places);
    const spoken = element('span', { class: 'unseen' }, could);
    return [
      element('span', { class: 'value' }, value),
      ' ',
      element('span', { class: 'interval' }, interval),
      element('span', { class: 'under' }, where, ' ', spoken, range),
      ...(under ? [element('span', { class: 'under' }, under)] : []),
    ];
  }

  /** A line a set-up, and below them the ruler; each is drawn at height 0, and any width fits it. */
  function drawn({ marks }, cells) {
    const lines = cells.map((cell, i) => (cell?.marks ? line(cell.marks, i) : '')).filter(Boolean);
    const ruler = stretched(
      'beside-ruler',
      '0 -9 1000 32',
      svg('path', { class: 'field', d: marks.field }),
      svg('path', { class: 'ruler', d: marks.line }),
    );
    ruler.append(...marks.figures.map(({ along, words }) => svg('text', { x: along, y: 30 }, words)));
    return element('div', { class: 'drawn', 'aria-hidden': 'true' }, ...lines, ruler);
  }

  function line({ interval, mean, along, is_named_after: isAfter, is_dashed: isDashed }, i) {
    const made = stretched(
      i === 0 ? 'beside-line is-first' : 'beside-line',
      '0 -9 1000 18',
      svg('path', { class: isDashed ? 'reach open' : 'reach', d: interval }),
      svg('path', { class: 'mean', d: mean }),
    );
    made.append(svg('text', { x: along, y: 13, class: isAfter ? 'after' : 'before' }, LETTERS[i]));
    return made;
  }

  function stretched(name, viewBox, ...paths) {
    const [, , , height] = viewBox.split(' ');
    const size = { width: '100%', height };
    for (const path of paths) path.setAttribute('vector-effect', 'non-scaling-stroke');
    const inner = svg('svg', { ...size, viewBox, preserveAspectRatio: 'none' }, ...paths);
    return svg('svg', { ...size, class: name }, inner);
  }

  function textRows(columns, part) {
    return columns[0][part]
      .map(([what], i) => ({ what, texts: columns.map((column) => column[part][i][1]) }))
      .filter(({ texts }) => texts.some(Boolean))
      .map(({ what, texts }) => textRow(what, texts.map((text) => [text || say('not said')])));
  }

  function claimsRow(columns) {
    const lists = columns.map(({ claims }) => (claims.length ? claims : [say('none noted')]));
    return textRow(say('Claims by others, not checked here'), lists);
  }

  function textRow(what, texts) {
    const cells = texts.map((lines) =>
      element('td', {}, ...lines.map((text) => element('span', { class: 'text' }, text))),
    );
    return element('tr', { class: 'about' }, element('th', { scope: 'row' }, what), ...cells);
  }

  list.addEventListener('change', () => {
    if (list.value) change([...asked(), list.value]);
  });
  form.addEventListener('submit', (event) => event.preventDefault());
  address.follow(show);
})();
