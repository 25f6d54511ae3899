/*
 * Numbers and verdicts as the written pages word them.
 *
 * In:  figures, relations as the site's data hold them, and shapes with their words.
 * Out: number(), interval(), signed(), relation(), mark() and element() on `window.trialpress`.
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
  function signed({ difference, low, high }, decimals) {
    const scale = 10 ** decimals;
    const plus = difference > 0 ? '+' : '';
    const words = plus + number(difference / scale, decimals);
    return low === null ? words : `${words} (${interval(low / scale, high / scale, decimals)})`;
  }

  /** Difference and verdict of one set-up against another, both by their place in the data. */
  function relation({ setups, pairs, verdicts, opposites }, one, other) {
    const [upper, lower] = one < other ? [one, other] : [other, one];
    const before = (upper * (2 * setups.length - upper - 1)) / 2; // pairs of those further up
    const start = 4 * (before + lower - upper - 1);
    const [difference, low, high, kind] = pairs.slice(start, start + 4);
    if (one < other) return { difference, low, high, verdict: verdicts[kind] };
    const turned = (value) => (value === null ? null : -value);
    const verdict = verdicts[opposites[kind]];
    return { difference: turned(difference), low: turned(high), high: turned(low), verdict };
  }

  /** An element with attributes and children. */
  function element(tag, attributes = {}, ...children) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
    node.append(...children);
    return node;
  }

  /** A verdict: a shape and words. */
  function mark(shape, words) {
    const picture = document.createElementNS(SVG, 'svg');
    const drawn = document.createElementNS(SVG, 'use');
    drawn.setAttribute('href', `#mark-${shape}`);
    for (const [name, value] of Object.entries({ class: 'mark', width: 20, height: 20 })) {
      picture.setAttribute(name, value);
    }
    picture.setAttribute('aria-hidden', 'true');
    picture.append(drawn);
    const attributes = { class: `verdict verdict-${shape}` };
    return element('span', attributes, picture, element('span', {}, words));
  }

  Object.assign(window.trialpress, { number, interval, signed, relation, element, mark });
})();
