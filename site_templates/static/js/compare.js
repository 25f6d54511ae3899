/*
 * Puts up to four set-ups side by side.
 *
 * In:  `?with=a,b,c` in the address, or set-ups picked from the list; the site's data on set-ups, and
 *      the relations of each protocol.
 * Out: a table with a column a set-up. Differences and verdicts are towards the first.
 */
'use strict';

(() => {
  const { address, data, element, mark, relation, root, say, sayCount, signed } = window.trialpress;
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
    const { series, setups } = await data(form.dataset.compare);
    const known = await Promise.all(series.map((one) => data(one.relations)));
    if (slugs.join() !== asked().join()) return; // changed while the data were loading
    place.replaceChildren(table(slugs, setups, series, known));
  }

  function inWords(count) {
    if (count === 0) return say('None yet.');
    if (count === 1) return say('One so far: add another.');
    if (count < atOnce) return sayCount('{count} side by side.', '{count} side by side.', count);
    return say('{most}, as many as fit. Take one away to add another.', { most: atOnce });
  }

  function table(slugs, setups, series, known) {
    const chosen = slugs.map((slug) => setups[slug]);
    const made = element('table', { class: `beside-each-other of-${slugs.length}` });
    made.append(
      element('caption', { class: 'unseen' }, say('Set-ups side by side')),
      element('thead', {}, element('tr', {}, element('td'), ...heads(slugs, chosen))),
      element(
        'tbody',
        {},
        ...series.map((one, i) => standingRow(one, known[i], slugs, chosen)),
        overallRow(chosen),
      ),
      element('tbody', {}, ...aboutRows(chosen), claimsRow(chosen)),
    );
    return made;
  }

  function heads(slugs, chosen) {
    return chosen.map((setup, i) => {
      const rest = slugs.filter((_, other) => other !== i);
      const buttons = [button(say('Take away'), setup, () => change(rest))];
      if (i > 0) buttons.unshift(button(say('Put first'), setup, () => change([slugs[i], ...rest])));
      return element(
        'th',
        { scope: 'col', class: 'name' },
        element('a', { href: root + setup.url }, setup.machine),
        ' ',
        element('span', { class: 'label' }, setup.label),
        element('span', { class: 'moves' }, ...buttons),
      );
    });
  }

  function button(words, setup, act) {
    const name = `${setup.machine} (${setup.label})`;
    const made = element('button', { type: 'button', 'aria-label': `${words}: ${name}` }, words);
    made.addEventListener('click', async () => {
      await act();
      list.focus(); // the button is gone with its table
    });
    return made;
  }

  function cell(setup, ...children) {
    const name = element('span', { class: 'whose', 'aria-hidden': 'true' }, setup.machine, ' ');
    name.append(element('span', { class: 'label' }, setup.label));
    return element('td', {}, name, element('div', {}, ...children));
  }

  function standingRow(one, known, slugs, chosen) {
    const title = element('a', { href: root + one.url }, one.title);
    const unit = element('span', { class: 'label' }, one.unit);
    const index = slugs.map((slug) => known.setups.indexOf(slug));
    const cells = chosen.map((setup, i) => {
      const standing = setup.standings[one.relations];
      if (!standing) return cell(setup, element('span', { class: 'why' }, say('not run')));
      const parts = figures(standing);
      if (i > 0 && index[0] >= 0) {
        const is = relation(known, index[i], index[0]);
        parts.push(
          element('p', { class: 'than-first' }, mark(...is.verdict), ' ', difference(is, known)),
        );
      }
      return cell(setup, ...parts);
    });
    return element('tr', {}, element('th', { scope: 'row' }, title, ' ', unit), ...cells);
  }

  function difference(is, { decimals }) {
    return element('span', { class: 'difference' }, signed(is, decimals));
  }

  function figures({ value, interval, place: where, could, marks, runs }) {
    const under = [where, could, marks, runs].filter(Boolean).join(', ');
    return [
      element('span', { class: 'value' }, value),
      ' ',
      element('span', { class: 'interval' }, interval),
      element('span', { class: 'under' }, under),
    ];
  }

  function overallRow(chosen) {
    const title = element('a', { href: `${root}overall.html` }, say('Overall'));
    const cells = chosen.map((setup) => {
      const { overall } = setup;
      if (overall.value) return cell(setup, ...figures(overall));
      return cell(setup, element('span', { class: 'why' }, overall.why || say('no place')));
    });
    const unit = element('span', { class: 'label' }, say('%, no differences are worked out'));
    return element('tr', {}, element('th', { scope: 'row' }, title, ' ', unit), ...cells);
  }

  function aboutRows(chosen) {
    return chosen[0].about
      .map(([what], line) => ({ what, texts: chosen.map(({ about }) => about[line][1]) }))
      .filter(({ texts }) => texts.some(Boolean))
      .map(({ what, texts }) => textRow(what, chosen, texts.map((text) => [text || say('not said')])));
  }

  function claimsRow(chosen) {
    const lists = chosen.map(({ claims }) => (claims.length ? claims : [say('none noted')]));
    return textRow(say('Claims by others, not checked here'), chosen, lists);
  }

  function textRow(what, chosen, texts) {
    const cells = chosen.map((setup, i) =>
      cell(setup, ...texts[i].map((text) => element('span', { class: 'text' }, text))),
    );
    return element('tr', { class: 'about' }, element('th', { scope: 'row' }, what), ...cells);
  }

  list.addEventListener('change', () => {
    if (list.value) change([...asked(), list.value]);
  });
  form.addEventListener('submit', (event) => event.preventDefault());
  address.follow(show);
})();
