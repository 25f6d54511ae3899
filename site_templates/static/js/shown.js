/*
 * The standing of any of the set-ups of a series, by the rules of the published one.
 *
 * In:  verdicts on all pairs of a series as the site's data hold them, and which set-ups to take.
 * Out: `trialpress.shown`: verdictsOf(), standing() and couldSwap(), pure functions; range() and
 *      could(), words.
 *
 * The intervals behind the verdicts hold for all pairs at once, and so for those of any set-ups.
 */
'use strict';

(() => {
  const { say } = window.trialpress;
  const BETTER = 2; // kinds below it say better,
  const WORSE = 6; // and from here on worse

  /** Row i, column j: the kind of verdict on the i-th set-up towards the j-th. */
  function verdictsOf({ setups, kinds, opposites }) {
    const many = setups.length;
    const all = new Uint8Array(many * many);
    kinds.forEach((runs, i) => {
      let j = i + 1;
      for (let k = 0; k < runs.length; k += 2) {
        for (const end = j + runs[k + 1]; j < end; j += 1) {
          all[i * many + j] = runs[k];
          all[j * many + i] = opposites[runs[k]];
        }
      }
    });
    return { all, many, isBetter: (one, other) => one !== other && all[one * many + other] < BETTER };
  }

  /** Places of the entries, the places that cannot be ruled out, and the cut after the first. */
  function standing(entries, { all, many }, first, isHigherBetter) {
    const sign = isHigherBetter ? 1 : -1;
    const ranked = entries.map((one) => ({ ...one }));
    const indices = Uint32Array.from(ranked, ({ index }) => index);
    ranked.forEach((one, i) => {
      const before = ranked[i - 1]; // entries come in the order of their means
      one.place = before?.mean === one.mean ? before.place : i + 1;
      one.isInside = one.place <= first;
      one.best = 1;
      one.worst = ranked.length;
      const start = one.index * many;
      for (const index of indices) {
        if (index === one.index) continue;
        const kind = all[start + index];
        if (kind >= WORSE) one.best += 1;
        if (kind < BETTER) one.worst -= 1;
      }
      one.top = topOf(one, first);
    });
    const cutAt = ranked.findLast(({ isInside }) => isInside)?.mean;
    for (const one of ranked) one.gap = sign * (cutAt - one.mean);
    return { entries: ranked, cutAt, first };
  }

  /** Whether every, some or no place that the runs leave open is among the first. */
  function topOf({ best, worst }, first) {
    if (worst <= first) return 'certain';
    return best <= first ? 'possible' : 'out';
  }

  /** Those on the other side of the cut that the runs do not tell apart from it. */
  function couldSwap(one, entries, { isBetter }) {
    return entries.filter(
      (other) =>
        other.isInside !== one.isInside &&
        !(one.isInside ? isBetter(one.index, other.index) : isBetter(other.index, one.index)),
    );
  }

  function ordinal(place) {
    const isTeen = place % 100 > 10 && place % 100 < 14;
    const last = isTeen ? 0 : place % 10;
    if (last === 1) return say('{place}st', { place });
    if (last === 2) return say('{place}nd', { place });
    if (last === 3) return say('{place}rd', { place });
    return say('{place}th', { place });
  }

  /** The range of places in figures. */
  function range({ best, worst }) {
    return best === worst ? String(best) : `${best}\u2013${worst}`;
  }

  /** The same as a reader would say it. */
  function could({ best, worst }) {
    const places =
      best === worst
        ? say('nothing but {place}', { place: ordinal(best) })
        : say('anywhere from {best} to {worst}', { best: ordinal(best), worst: ordinal(worst) });
    return say('could be {places}', { places });
  }

  window.trialpress.shown = { verdictsOf, standing, couldSwap, range, could };
})();
