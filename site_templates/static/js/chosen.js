/*
 * Measures every set-up of a standing against the one a reader chooses.
 *
 * In:  a table with `data-relations`, what its series is called in the data of the chosen one; in each
 *      row, in the order of the standing, an empty cell for the control, and the verdict on it against
 *      the first.
 * Out: verdicts and differences against the chosen one, below each line, and the accent on it in
 *      table and chart; the choice in the address as `against=`. Nothing is chosen at first.
 */
'use strict';

(() => {
  const { address, charts, data, mark, relation, say, signed } = window.trialpress;
  const table = document.querySelector('[data-relations]');
  const rows = [...table.querySelectorAll('tr[data-setup]')];
  const head = document.querySelector('[data-against-head]');
  const line = document.querySelector('[data-measured]');
  const end = line.querySelector('[data-measured-end]');
  const published = new Map(rows.map((row) => [row, said(row).innerHTML]));
  const first = rows[0].dataset.setup;
  let chosen = null;

  function said(row) {
    return row.querySelector('td.compared');
  }

  function nameOf(row) {
    return row.querySelector('.name').dataset.value;
  }

  /** The control of each row: one group, so that the arrow keys go from row to row. */
  for (const row of rows) {
    const radio = document.createElement('input');
    Object.assign(radio, { type: 'radio', name: 'against', value: row.dataset.setup });
    radio.setAttribute('aria-label', say('Measure all against {name}', { name: nameOf(row) }));
    radio.addEventListener('change', () => press(row.dataset.setup));
    row.querySelector('td.choose').append(radio);
    row.addEventListener('click', ({ target }) => {
      const isOwn = target.closest('a, input, summary, button');
      if (!isOwn && window.getSelection().isCollapsed) press(row.dataset.setup);
    });
  }

  function press(setup) {
    const next = setup === chosen ? null : setup;
    address.change({ against: next ?? '' });
    choose(next);
  }

  async function choose(setup) {
    chosen = setup;
    const isOther = setup !== null && setup !== first;
    const isKnown = !isOther && !table.querySelector('[data-lean]'); // as the page has written it
    const relations = setup === null || isKnown ? null : await data(`relations/${setup}`);
    if (chosen !== setup) return; // chosen anew while the data were loading
    rows.forEach((row, at) => tell(row, at, relations));
    for (const row of rows) {
      row.querySelector('input[name=against]').checked = row.dataset.setup === setup;
    }
    table.toggleAttribute('data-measuring', setup !== null);
    line.hidden = setup === null;
    const is = rows.find((row) => row.dataset.setup === setup);
    line.querySelector('[data-measured-name]').textContent = is ? nameOf(is) : '';
    const words = isOther ? say('Against the chosen') : say('Against the first');
    head.textContent = words;
    for (const row of rows) said(row).dataset.label = words;
    charts?.keep(setup, setup !== null);
    document.dispatchEvent(new Event('trialpress:chosen'));
  }

  function tell(row, at, relations) {
    const { setup } = row.dataset;
    row.toggleAttribute('data-measured-against', setup === chosen);
    const cell = said(row);
    cell.innerHTML = published.get(row); // what the page said when it was written
    if (relations === null) return;
    const here = cell.querySelector('.verdict');
    const difference = cell.querySelector('.difference');
    if (setup === chosen) {
      here.replaceWith(mark('first', say('the one chosen')));
      difference.textContent = '';
      cell.querySelector('.beside')?.remove();
      return;
    }
    const is = relation(relations, table.dataset.relations, at);
    here.replaceWith(mark(...is.verdict));
    difference.textContent = signed(is);
    const beside = cell.querySelector('.beside') ?? besideOf(cell, nameOf(row));
    beside.search = `?with=${chosen},${setup}`;
  }

  /** The first has no link beside itself; against another it needs one. */
  function besideOf(cell, name) {
    const link = document.querySelector('td.compared .beside').cloneNode(true);
    link.querySelector('.unseen').textContent = ` ${say('with {name}', { name })}`;
    cell.append(' ', link);
    return link;
  }

  end.addEventListener('click', () => {
    const row = rows.find(({ dataset }) => dataset.setup === chosen);
    press(chosen);
    row.querySelector('input[name=against]').focus(); // the button goes away
  });
  address.follow(() => {
    const asked = address.read().get('against');
    choose(rows.some((row) => row.dataset.setup === asked) ? asked : null);
  });
})();
