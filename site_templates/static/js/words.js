/*
 * Numbers and verdicts as the written pages word them.
 *
 * In:  figures, relations as the site's data hold them, and shapes with their words.
 * Out: number(), interval(), signed(), relation(), mark(), element() and svg() on `window.trialpress`.
 */
'use strict';

(() => {
  const { decimal, halfEven, say } = window.trialpress;
  const MINUS = '\u2212';
  const SVG = 'http://www.w3.org/2000/svg';

  /** A figure with its decimals, ties to even, a true minus sign and no negative zero. */
  function number(value, decimals) {
    const digits = halfEven(Math.abs(value), decimals).toFixed(decimals).replace('.', decimal);
    return value < 0 && /[1-9]/.test(digits) ? MINUS + digits : digits;
  }

  /** Both ends of an interval. */
  function interval(low, high, decimals) {
    return say('{low} to {high}', { low: number(low, decimals), high: number(high, decimals) });
  }

  /** A difference in whole numbers of its last digit, with sign and interval. */
  function signed({ difference, low, high, decimals }) {
    const scale = 10 ** decimals;
    const plus = difference > 0 ? '+' : '';
    const words = plus + number(difference / scale, decimals);
    return low === null ? words : `${words} (${interval(low / scale, high / scale, decimals)})`;
  }

  /** Difference and verdict of the set-up at a position of a standing, towards the one of the data. */
  function relation({ verdicts, series }, name, at) {
    const { pairs, decimals } = series[name];
    const [difference, low, high, kind] = pairs.slice(4 * at, 4 * at + 4);
    return { difference, low, high, decimals, verdict: verdicts[kind] };
  }

  /** An element with attributes and children. */
  function element(tag, attributes = {}, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
    node.append(...children);
    return node;
  }

  /** The same of a drawing. */
  function svg(tag, attributes = {}, ...children) {
    const node = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
    node.append(...children);
    return node;
  }

  /** A verdict: a shape and words. */
  function mark(shape, words) {
    const drawn = svg('use', { href: `#mark-${shape}` });
    const size = { class: 'mark', width: 20, height: 20, 'aria-hidden': 'true' };
    const picture = svg('svg', size, drawn);
    const attributes = { class: `verdict verdict-${shape}` };
    return element('span', attributes, picture, element('span', {}, words));
  }

  Object.assign(window.trialpress, { number, interval, signed, relation, element, svg, mark });
})();
