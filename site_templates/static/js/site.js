/*
 * Starts the scripts that a page has a use for. Without any of them every page is complete.
 *
 * In:  the page; `data-root` on its root element leads to the top of the site.
 * Out: `window.trialpress`, which the other scripts share: load(), data(), address, say(),
 *      sayCount(), listing(), halfEven() and, where the page has charts, charts.
 *
 * Everything works from a folder on disk: no modules, nothing fetched, no inline style.
 */
'use strict';

(() => {
  const root = document.documentElement.dataset.root ?? '';
  const loading = new Map();

  /** Load one of the site's own scripts, once; its path is relative to the top of the site. */
  function load(path) {
    if (!loading.has(path)) {
      loading.set(
        path,
        new Promise((resolve, reject) => {
          const script = document.createElement('script');
          script.src = root + path;
          script.async = false; // in the order they are asked for
          script.addEventListener('load', resolve);
          script.addEventListener('error', () => reject(new Error(`${path} could not be loaded`)));
          document.head.append(script);
        }),
      );
    }
    return loading.get(path);
  }

  /** Data of the site, by the name they are written under. */
  async function data(name) {
    await load(`static/data/${name}.js`);
    return window.trialpressData[name];
  }

  /** The view a reader is looking at, kept in the address so that it can be shared. */
  const address = {
    read() {
      return new URLSearchParams(window.location.search);
    },

    /** Set or, with an empty value, take out some parameters. One step back undoes it. */
    change(values) {
      const query = address.read();
      for (const [name, value] of Object.entries(values)) {
        if (value) query.set(name, value);
        else query.delete(name);
      }
      const readable = query.toString().replaceAll('%2C', ',');
      const search = query.size ? `?${readable}` : window.location.pathname;
      if (query.toString() !== address.read().toString()) {
        window.history.pushState(null, '', search + window.location.hash);
      }
    },

    /** Call back now, and whenever the reader goes back or forward. */
    follow(callback) {
      window.addEventListener('popstate', callback);
      callback();
    },
  };

  // The language of the pages, where it is not English, comes with a script of its own.
  const {
    texts = {},
    form = (count) => Number(count !== 1),
    decimal = '.',
  } = window.trialpressLanguage ?? {};

  function filled(text, values) {
    return text.replace(/\{(\w+)\}/g, (place, name) => values[name] ?? place);
  }

  /** A text in the language of the pages, with values in the places of their names. */
  function say(text, values = {}) {
    return filled(texts[text] ?? text, values);
  }

  const listings = new Map(); // what writes lists is slow to make

  /** Names in one phrase: "A, B and C", or with "or" for a disjunction. */
  function listing(names, type = 'conjunction') {
    if (!listings.has(type)) {
      const { lang } = document.documentElement;
      // English without a country is written as in Britain, by the pages as well.
      listings.set(type, new Intl.ListFormat(lang === 'en' ? 'en-GB' : lang, { type }));
    }
    return listings.get(type).format(names);
  }

  /** A text that depends on a number, which stands in it at `{count}`. */
  function sayCount(one, many, count, values = {}) {
    return filled((texts[one] ?? [one, many])[form(count)], { count, ...values });
  }

  /**
   * The decimal nearest to a figure; of two that are equally near the even one.
   *
   * As `results.rounding` and the queries do it: binary noise is taken off in the sixth digit after
   * the last one shown, so that the mean of 13.1 and 13.2 is a tie, as it was typed.
   */
  function halfEven(value, decimals) {
    const scale = 10 ** decimals;
    const scaled = Number((value * scale).toFixed(6));
    const below = Math.floor(scaled);
    const isUp = scaled - below === 0.5 ? below % 2 !== 0 : scaled - below > 0.5;
    return (below + Number(isUp)) / scale + 0; // no minus zero
  }

  window.trialpress = { root, load, data, address, say, sayCount, listing, halfEven, decimal };

  const parts = [
    ['[data-chart]', 'charts.js'],
    ['figure.chart, figure[data-chart], main table:not(.head), [data-compare], [data-weights], [data-maker-pair]', 'words.js'],
    ['figure.chart, figure[data-chart]', 'reading.js'],
    ['table.ranking', 'rows.js'],
    ['[data-relations]', 'chosen.js'],
    ['[data-verdicts], [data-column-verdicts]', 'shown.js'],
    ['[data-compare]', 'compare.js'],
    ['[data-maker-pair]', 'maker-pair.js'],
    ['[data-weights]', 'overall.js'],
    ['[data-weights]', 'my-floors.js'],
    ['[data-filters]', 'filters.js'],
    ['[data-way-in]', 'way-in.js'],
    ['[data-columns]', 'columns.js'],
    ['[data-cut]', 'cut.js'],
    ['[data-verdicts]', 'standing.js'],
    ['[data-column-verdicts]', 'matrix.js'],
    ['main table:not(.head)', 'taking.js'],
    ['th[data-sort]', 'sorting.js'],
    ['[data-frozen]', 'frozen.js'],
    ['[data-ask]', 'ask.js'],
    ['[data-search]', 'finding.js'],
    ['[data-search]', 'search.js'],
  ];
  const needed = parts.filter(([selector]) => document.querySelector(selector));
  if (needed.length) {
    const style = document.createElement('link');
    style.rel = 'stylesheet';
    style.href = `${root}static/js/added.css`;
    document.head.append(style);
  }
  for (const [, file] of needed) load(`static/js/${file}`);
})();
