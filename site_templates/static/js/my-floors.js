/*
 * The overall standing with the weights that a reader sets.
 *
 * In:  a form with `data-weights`, rows for every set-up, and `data-figures` to work with.
 * Out: places, values and intervals at those weights; set-ups with something missing apart; the first
 *      three beside the sliders, with what the runs tell of them; what would change the first place;
 *      the weights in the address as `weights=carpet*2_hair*0`.
 */
'use strict';

(() => {
  const { address, decimal, element, interval, listing, mark, number, overall, say, sayCount } = window.trialpress;
  const form = document.querySelector('[data-weights]');
  const rules = JSON.parse(document.querySelector('[data-figures]').textContent);
  const { protocols, setups } = rules;
  const controls = [...form.querySelectorAll('[data-protocol]')].map((place) => ({
    place,
    slug: place.dataset.protocol,
    own: Number(place.dataset.own),
    range: place.querySelector('[type=range]'),
    box: place.querySelector('[type=number]'),
    holds: place.querySelector('[data-holds]'),
  }));
  const rows = setups.map(({ slug }) => document.querySelector(`tr[data-setup="${slug}"]`));
  const complete = document.querySelector('[data-complete-rows]');
  const incomplete = document.querySelector('[data-incomplete-rows]');
  const front = document.querySelector('[data-front]');
  const apart = document.querySelector('tbody.apart');
  const WIDTH = 200;

  /** The weights as they stand; what is no number above zero counts nothing. */
  function weights() {
    return controls.map(({ box }) => Math.max(Number(box.value) || 0, 0));
  }

  function isOwn(values) {
    return values.every((value, i) => value === controls[i].own);
  }

  /** An end of a range with two decimals, rounded to the side that claims less. */
  function end(value, round) {
    return String(round(value * 100) / 100).replace('.', decimal);
  }

  function show() {
    const values = weights();
    const standing = overall.standing(rules, values);
    fillComplete(standing);
    fillIncomplete(standing);
    fillFront(standing);
    document.querySelector('[data-whose]').textContent = isOwn(values)
      ? say('the bench’s own')
      : say('your');
    document.querySelector('[data-first]').textContent = firstInWords(standing, values);
    tellWhatHolds(standing, values);
  }

  function fillComplete({ complete: ranked, decimals }) {
    const scale = scaleOf(ranked);
    for (const one of ranked) {
      const hasInterval = one.low !== null;
      const words = hasInterval
        ? interval(one.low, one.high, decimals)
        : one.value === 0
          ? say('a mean of 0 or less makes the overall 0')
          : say('no interval can be had');
      fill(rows[one.setup], [String(one.place), number(one.value, decimals), words]);
      rows[one.setup].querySelector('.drawn').replaceChildren(...(scale ? [draw(one, scale)] : []));
    }
    complete.replaceChildren(...ranked.map(({ setup }) => rows[setup]));
  }

  /** The first three of those shown, and whether the runs tell them from the first of them. */
  function fillFront({ complete: ranked, decimals }) {
    const shown = ranked.filter(({ setup }) => !rows[setup].hidden).slice(0, 3);
    const lines = shown.map((one) => {
      const name = rows[one.setup].querySelector('.name').cloneNode(true);
      return element(
        'li',
        {},
        element('span', { class: 'place' }, String(one.place)),
        element('span', { class: 'name' }, ...name.childNodes),
        element('span', { class: 'value' }, number(one.value, decimals)),
        againstFirst(one, shown[0], ranked.length),
      );
    });
    front.replaceChildren(...lines);
  }

  function againstFirst(one, first, count) {
    if (one === first) return mark('first', say('the first'));
    return overall.isBetter(first, one, count, rules)
      ? mark('worse', say('worse'))
      : mark('cannot-tell', say('cannot tell'));
  }

  function fillIncomplete({ incomplete: lacking }) {
    for (const { setup, missing } of lacking) {
      const titles = missing.map((i) => protocols[i].title).join('; ');
      fill(rows[setup], ['', '', titles ? say('not yet run on: {titles}', { titles }) : '']);
      rows[setup].querySelector('.drawn').replaceChildren();
    }
    incomplete.replaceChildren(...lacking.map(({ setup }) => rows[setup]));
    apart.hidden = !lacking.length;
  }

  function fill(row, [place, value, words]) {
    row.querySelector('.place').textContent = place;
    row.querySelector('.value').textContent = value;
    row.querySelector('.interval').textContent = words;
  }

  /** From the lowest to the highest end of all intervals; null where there is no interval. */
  function scaleOf(ranked) {
    const known = ranked.filter(({ low }) => low !== null);
    if (!known.length) return null;
    const low = Math.min(...known.map((one) => one.low));
    const high = Math.max(...known.map((one) => one.high));
    return (value) => 3 + ((WIDTH - 6) * (value - low)) / (high - low || 1);
  }

  function draw({ value, low, high }, scale) {
    const svg = (tag, attributes) => {
      const node = document.createElementNS('http://www.w3.org/2000/svg', tag);
      for (const [name, said] of Object.entries(attributes)) node.setAttribute(name, said);
      return node;
    };
    const picture = svg('svg', { viewBox: `0 0 ${WIDTH} 12`, class: 'bar' });
    if (low !== null) {
      picture.append(
        svg('path', { class: 'reach', d: `M${scale(low).toFixed(1)} 6H${scale(high).toFixed(1)}` }),
        svg('circle', { class: 'dot', cx: scale(value).toFixed(1), cy: 6, r: 3 }),
      );
    }
    return picture;
  }

  /** Who is first by value, and whether any one weight would change that. */
  function firstInWords({ complete: ranked, incomplete: lacking }, values) {
    if (!values.some((value) => value > 0)) return say('No floor counts: give at least one a weight.');
    if (!ranked.length) return say('No set-up was run on all that counts.');
    const first = ranked.filter(({ place }) => place === 1).map(({ setup }) => setups[setup].name);
    const told = { names: listing(first), all: ranked.length };
    const how =
      first.length > 1
        ? say('{names} share the first place by value, of {all} set-ups run on all that counts', told)
        : say('{names} is first by value, of {all} set-ups run on all that counts', told);
    const without = lacking.length
      ? sayCount('; {count} more were not.', '; {count} more were not.', lacking.length)
      : '.';
    const changing = values.filter((_, i) => changes(firstPlace(values, i))).length;
    const then = changing
      ? say(
          'Changing one weight alone can bring another to the front in {changing} of {all} cases, as said beside the weights.',
          { changing, all: values.length },
        )
      : say('No single weight, made larger or smaller, brings another to the front.');
    return `${how}${without} ${then}`;
  }

  function changes(range) {
    return range === null || range.below !== null || range.above !== null;
  }

  /** Between which weights the first stays first, no further than the slider of a weight goes. */
  function firstPlace(values, i) {
    const range = overall.firstPlace(rules, values, i);
    const most = Math.max(Number(controls[i].range.max), values[i]);
    return range?.above !== null && range?.high > most ? { ...range, above: null, most } : range;
  }

  /** Beside every weight, between which values the first stays first. */
  function tellWhatHolds({ complete: ranked }, values) {
    controls.forEach(({ holds }, i) => {
      holds.textContent = ranked.length ? holdsInWords(firstPlace(values, i)) : '';
    });
  }

  function holdsInWords(range) {
    if (range === null) {
      return say('The first was not run on it, or got nothing: counted, it would fall out.');
    }
    const { low, below, high, above, most } = range;
    if (below === null && above === null) {
      return most === undefined
        ? say('The first stays first at any weight.')
        : say('The first stays first at any weight up to {most}.', { most: end(most, Math.floor) });
    }
    const ends = [
      below === null ? '' : say('down to {weight}', { weight: end(low, Math.ceil) }),
      above === null ? '' : say('up to {weight}', { weight: end(high, Math.floor) }),
    ].filter(Boolean);
    const rivals = [...new Set([below, above].filter((one) => one !== null))];
    const names = listing(rivals.map((one) => setups[one].name), 'disjunction');
    return say('The first stays first {range}; beyond, {names} comes first.', { range: listing(ends), names });
  }

  function keepInAddress() {
    const values = weights();
    const said = controls.map(({ slug }, i) => `${slug}*${values[i]}`).join('_');
    address.change({ weights: isOwn(values) ? '' : said });
  }

  function takeFromAddress() {
    const pairs = (address.read().get('weights') ?? '').split('_').map((pair) => pair.split('*'));
    const asked = new Map(pairs);
    for (const control of controls) {
      const value = Number(asked.get(control.slug) ?? control.own);
      set(control, value >= 0 && Number.isFinite(value) ? value : control.own);
    }
    show();
  }

  function set({ range, box }, value) {
    range.value = value;
    box.value = value;
  }

  for (const { range, box } of controls) {
    box.readOnly = false;
    range.addEventListener('input', () => {
      box.value = range.value;
    });
    box.addEventListener('input', () => {
      range.value = box.value;
    });
  }
  form.addEventListener('input', show);
  form.addEventListener('change', keepInAddress);
  form.addEventListener('submit', (event) => event.preventDefault());
  form.querySelector('[data-own-weights]').addEventListener('click', () => {
    for (const control of controls) set(control, control.own);
    show();
    keepInAddress();
  });
  form.querySelector('[data-copy]').addEventListener('click', async () => {
    const said = form.querySelector('[data-copied]');
    try {
      await navigator.clipboard.writeText(window.location.href);
      said.textContent = say('Copied.');
    } catch {
      said.textContent = say('Not allowed here: the address above is the link.');
    }
  });
  document.addEventListener('trialpress:shown', () => fillFront(overall.standing(rules, weights())));
  address.follow(takeFromAddress);
})();
