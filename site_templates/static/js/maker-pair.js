/*
 * Puts any two makers side by side.
 *
 * In:  `?with=a,b` in the address, or two makers chosen from the lists; the site's data on makers.
 * Out: the chart and the table of that pair, in the series that both were tried in.
 */
'use strict';

(() => {
  const { address, charts, data, element, mark, root, say } = window.trialpress;
  const form = document.querySelector('[data-maker-pair]');
  const [first, second] = form.querySelectorAll('select');
  const status = form.querySelector('[data-maker-pair-status]');
  const shown = document.querySelector('[data-maker-pair-shown]');
  const body = shown.querySelector('[data-maker-pair-rows]');
  const beside = shown.querySelector('thead .than').textContent;
  const labels = [...shown.querySelectorAll('thead .number')].map((cell) => cell.textContent);
  const { chart } = shown.querySelector('[data-chart]').dataset;
  const start = [first.value, second.value];
  let current = start.join();

  /** The pair of the address, or the one to begin with; a single maker gets another beside it. */
  function asked() {
    const offered = [...first.options].map(({ value }) => value);
    const slugs = (address.read().get('with') ?? '').split(',').filter((one) => offered.includes(one));
    const [one = start[0], other = start.find((maker) => maker !== one)] = new Set(slugs);
    return [one, other];
  }

  async function show() {
    const pair = asked();
    [first.value, second.value] = pair;
    if (pair.join() === current) return;
    current = pair.join();
    const known = await data(form.dataset.makerPair);
    if (pair.join() !== current) return; // changed while the data were loading
    const [one, other] = pair.map((slug) => known.makers[slug]);
    const panels = Object.keys(one.panels).filter((panel) => panel in other.panels);
    shown.hidden = panels.length === 0;
    status.textContent = shown.hidden ? say('They were not tried in one series.') : '';
    if (shown.hidden) return;
    const rows = panels.flatMap((panel) => [
      ...one.panels[panel],
      ...other.panels[panel].map((row) => ({ ...row, is_second: true })),
    ]);
    const told = {
      ...{ first: one.name, second: other.name, series: panels.length },
      set_ups: new Set(rows.map(({ row }) => row)).size,
    };
    const title = say(known.title, told);
    shown.querySelector('#chart').textContent = title;
    charts.renew(chart, rows, { title, description: say(known.description, told) });
    body.replaceChildren(...tableRows(pair, known));
  }

  function tableRows(pair, { makers, series, pairs: words }) {
    return series
      .filter((one) => pair.every((slug) => slug in one.makers))
      .flatMap((one) =>
        pair.map((slug, i) => {
          const [shape, better, worse, level, untold] = one.pairs[slug][pair[1 - i]];
          const against = mark(shape, say(words, { better, worse, level, untold }));
          return tableRow(one, makers[slug].name, one.makers[slug], against);
        }),
      );
  }

  function tableRow({ title, url, unit }, name, cells, against) {
    const head = element('th', { scope: 'row', class: 'name' });
    const link = element('a', { href: root + url }, title);
    const [inUnit, whose] = [
      element('span', { class: 'label' }, unit),
      element('span', { class: 'whose' }, name),
    ];
    head.append(link, ' ', inUnit, ' ', whose);
    const figures = cells.map((cell, i) =>
      element('td', { class: 'number', 'data-label': labels[i] }, cell),
    );
    const than = element('td', { class: 'than', 'data-label': beside }, against);
    return element('tr', {}, head, ...figures, than);
  }

  /** Who is chosen twice changes sides. */
  for (const [list, opposite, side] of [[first, second, 0], [second, first, 1]]) {
    list.addEventListener('change', () => {
      if (list.value === opposite.value) opposite.value = current.split(',')[side];
      address.change({ with: `${first.value},${second.value}` });
      show();
    });
  }
  address.follow(show);
})();
