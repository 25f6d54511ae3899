/*
 * The lines of a long ranking: the first few, and the rest when a reader wants them.
 *
 * In:  a ranking with `data-first`, how many are shown at first; lines with `data-lean`, which are
 *      written in numerals and not yet drawn.
 * Out: `trialpress.rows`: isShown(), waiting(), complete() and reveal(); a button for the rest. What is not shown
 *      yet is still found by a search in the page; a browser that cannot do that gets all lines.
 */
'use strict';

(() => {
  const { element, mark, sayCount, svg } = window.trialpress;
  const WIDTH = 120; // of the drawing, as in the written page
  const [ROOF, FOOT] = [3.5, 9.5];
  const AT_ONCE = 25; // lines, more than a screen holds
  const whenIdle = window.requestIdleCallback ?? ((call) => window.setTimeout(call, 50));
  const table = document.querySelector('table.ranking');
  const [body] = table.tBodies;
  const lines = [...body.rows];
  const first = Number(table.dataset.first);
  const canBeFound = 'onbeforematch' in document.body;
  const button = element('button', { type: 'button' });
  const place = element('p', { class: 'rest-of-rows' }, button);
  let most = canBeFound ? first : Infinity;
  let turn = 0;

  /** How a line waits that the filter lets through, until it is known whether it is one of the first. */
  function waiting() {
    return lines.length > first && canBeFound && 'until-found';
  }

  /** Whether the filter lets a line through; one that is only further down counts as shown. */
  function isShown(line) {
    return line.hidden !== true;
  }

  function xy(coordinate) {
    return String(Number(coordinate.toFixed(2)));
  }

  /** The bracket over the places that are possible among so many, and the dot at the one by mean. */
  function bracketOf({ place: at, best, worst }, many) {
    const step = WIDTH / Math.max(many, 1);
    const over = Math.max(step * 0.32, 1.6);
    const left = Math.max(step * (best - 0.5) - over, 0.5);
    const right = Math.min(step * (worst - 0.5) + over, WIDTH - 0.5);
    const d = `M${xy(left)} ${FOOT}V${ROOF}H${xy(right)}V${FOOT}`;
    return { d, cx: xy(step * (at - 0.5)) };
  }

  function strip(...parts) {
    const size = { class: 'strip', viewBox: `0 0 ${WIDTH} 16`, 'aria-hidden': 'true' };
    return svg('svg', size, ...parts);
  }

  /** Draw what was written in numerals. */
  function complete(line) {
    if (!line.hasAttribute('data-lean')) return;
    line.removeAttribute('data-lean');
    const open = line.querySelector('.marks .doubt') ? ' open' : '';
    const numerals = line.querySelector('.range .bracketed');
    const [best, worst = best] = numerals.textContent.split('\u2013').map(Number);
    const { d, cx } = bracketOf({ place: Number(line.querySelector('.place').dataset.value), best, worst }, lines.length);
    numerals.before(element('span', { class: 'could' }, numerals.textContent));
    numerals.setAttribute('aria-hidden', 'true');
    numerals.after(
      strip(
        svg('use', { href: '#places' }),
        svg('path', { class: `bracket${open}`, d }),
        svg('circle', { class: 'dot', cx, cy: 9, r: 2.1 }),
      ),
    );
    const interval = line.querySelector('.interval');
    interval.prepend(strip(svg('path', { class: `reach${open}`, d: interval.dataset.reach })));
    for (const verdict of line.querySelectorAll('.in-cut .verdict')) {
      const shape = /verdict-(\S+)/.exec(verdict.className)[1];
      verdict.replaceWith(mark(shape, verdict.textContent));
    }
  }

  /** Show so many of those that the filter lets through, as they are ordered now; give back how many there are. */
  function showFirst(many) {
    let count = 0;
    for (const line of body.rows) {
      if (!isShown(line)) continue;
      count += 1;
      if (count <= many) {
        if (line.hidden) line.hidden = false;
        complete(line);
      } else if (line.hidden !== 'until-found') line.hidden = 'until-found';
    }
    return count;
  }

  /** Show a screen of them, and the others when what they say has been brought up to date. */
  function show() {
    const mine = ++turn;
    const rest = showFirst(canBeFound ? Math.min(most, AT_ONCE) : most) - most;
    whenIdle(() => whenIdle(() => mine === turn && showFirst(most)));
    place.hidden = !(rest > 0);
    button.textContent = rest > 0 ? sayCount('Show the other one', 'Show the other {count}', rest) : '';
  }

  /** Show all lines from now on. */
  function reveal() {
    if (most === Infinity) return;
    most = Infinity;
    show();
    showFirst(most);
  }

  if (lines.length > first) {
    table.after(place);
    button.addEventListener('click', () => {
      const next = [...body.rows].find((line) => line.hidden === 'until-found');
      reveal();
      next?.querySelector('a').focus();
    });
    body.addEventListener('beforematch', reveal);
    window.addEventListener('beforeprint', reveal);
    for (const change of ['shown', 'sorted']) document.addEventListener(`trialpress:${change}`, show);
    show();
  }

  window.trialpress.rows = { isShown, waiting, complete, reveal, bracketOf };
})();
