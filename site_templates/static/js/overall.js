/*
 * The overall with weights of one's own, by the formula that the bench's own overall is made with.
 *
 * In:  each set-up's mean, standard error and degrees of freedom in each series; weights.
 * Out: `trialpress.overall`: tQuantile(), overallMean(), standing(), firstPlace() and isBetter(), pure
 *      functions.
 *
 * The value is the weighted geometric mean, or the weighted mean of steps that matter. Its interval
 * comes from first-order propagation on the logarithm with the degrees of freedom of Welch and
 * Satterthwaite (JCGM 100:2008, equations 10 and G.2b), as on the bench; only the weights differ.
 */
'use strict';

(() => {
  const { halfEven } = window.trialpress;
  const LANCZOS = [
    0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313,
    -176.61502916214059, 12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6,
    1.5056327351493116e-7,
  ];
  const LARGE_DF = 2000; // from here on the expansion below is exact to twelve digits
  const MOST_DECIMALS = 6;
  const WIDEST = Math.log(1000); // an interval that ends further away says nothing

  /** The logarithm of the gamma function, for arguments from a half up (Lanczos, g = 7). */
  function logGamma(x) {
    const base = x + 6.5;
    const sum = LANCZOS.slice(1).reduce((total, c, i) => total + c / (x + i), LANCZOS[0]);
    return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(base) - base + Math.log(sum);
  }

  /** The continued fraction of the incomplete beta function (DLMF 8.17.22, by Lentz's method). */
  function betaFraction(x, a, b) {
    const tiny = 1e-300;
    const away = (value) => (Math.abs(value) < tiny ? tiny : value);
    let c = 1;
    let d = 1 / away(1 - ((a + b) * x) / (a + 1));
    let fraction = d;
    for (let m = 1; m <= 1000; m += 1) {
      const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
      const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
      let change = 1;
      for (const step of [even, odd]) {
        d = 1 / away(1 + step * d);
        c = away(1 + step / c);
        change = c * d;
        fraction *= change;
      }
      if (Math.abs(change - 1) < 1e-15) break;
    }
    return fraction;
  }

  /** The regularised incomplete beta function. */
  function incompleteBeta(x, a, b) {
    if (x <= 0 || x >= 1) return x <= 0 ? 0 : 1;
    if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
    const front =
      logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x);
    return (Math.exp(front) * betaFraction(x, a, b)) / a;
  }

  /** Student's t with P(|T| <= t) = confidence; `normal` is the same quantile for infinite df. */
  function tQuantile(df, confidence, normal) {
    if (df > LARGE_DF) return expansion(df, normal);
    const half = logGamma((df + 1) / 2) - logGamma(df / 2) - 0.5 * Math.log(df * Math.PI);
    let t = 0;
    // The distribution is concave from here on, so that Newton's steps never go too far.
    for (let step = 0; step < 200; step += 1) {
      const within = 1 - incompleteBeta(df / (df + t * t), df / 2, 0.5);
      const density = Math.exp(half - ((df + 1) / 2) * Math.log1p((t * t) / df));
      const more = (confidence - within) / (2 * density);
      t += more;
      if (Math.abs(more) < 1e-13 * t) break;
    }
    return t;
  }

  /** Cornish and Fisher's expansion (Abramowitz and Stegun 26.7.5). */
  function expansion(df, z) {
    const g1 = (z ** 3 + z) / 4;
    const g2 = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96;
    const g3 = (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384;
    return z + g1 / df + g2 / df ** 2 + g3 / df ** 3;
  }

  const sum = (numbers) => numbers.reduce((total, one) => total + one, 0);

  /**
   * The overall of one set-up: `parts` are {weight, mean, se, df}, weights above zero.
   *
   * `inSteps`: means are steps from the median of their series, and are averaged as they are.
   */
  function overallMean(parts, { confidence, normal, inSteps }) {
    if (!inSteps && parts.some(({ mean }) => mean <= 0)) return { value: 0, low: null, high: null };
    const total = sum(parts.map(({ weight }) => weight));
    const scores = parts.map(({ mean }) => (inSteps ? mean : Math.log(mean)));
    const score = sum(parts.map(({ weight }, i) => weight * scores[i])) / total;
    const value = inSteps ? score : Math.exp(score);
    if (parts.some(({ se }) => se === null)) return { value, low: null, high: null };
    const variances = parts.map(
      ({ weight, mean, se }) => ((weight / total) * (inSteps ? se : se / mean)) ** 2,
    );
    const variance = sum(variances);
    const below = sum(variances.map((one, i) => one ** 2 / (parts[i].df ?? Infinity)));
    const df = below > 0 ? variance ** 2 / below : Infinity;
    const half = tQuantile(df, confidence, normal) * Math.sqrt(variance);
    const compared = { value, score, variance, df };
    if (inSteps) return { ...compared, low: value - half, high: value + half };
    if (half > WIDEST) return { ...compared, low: null, high: null };
    return { ...compared, low: value / Math.exp(half), high: value * Math.exp(half) };
  }

  /** Decimals that give the middle half-width two significant digits (GUM 7.2.6). */
  function decimalsFor(halfWidths) {
    const known = halfWidths.filter((width) => width > 0).sort((a, b) => a - b);
    if (!known.length) return 1;
    const digits = 1 - Math.floor(Math.log10(known[Math.floor(known.length / 2)]));
    return Math.min(Math.max(digits, 0), MOST_DECIMALS);
  }

  /**
   * Everybody's overall. `rules` holds confidence, normal and per set-up `parts`, one a protocol
   * (null where it was not run); `weights` are in the order of the protocols.
   */
  function standing(rules, weights) {
    const counted = weights.flatMap((weight, i) => (weight > 0 ? [i] : []));
    const complete = [];
    const incomplete = [];
    rules.parts.forEach((parts, setup) => {
      const missing = counted.filter((i) => parts[i] === null);
      if (missing.length || !counted.length) incomplete.push({ setup, missing });
      else {
        const own = counted.map((i) => {
          const [mean, se, df] = parts[i];
          return { weight: weights[i], mean, se, df };
        });
        complete.push({ setup, ...overallMean(own, rules) });
      }
    });
    const decimals = decimalsFor(complete.map(({ low, high }) => (high - low) / 2));
    for (const one of complete) one.shown = halfEven(one.value, decimals);
    complete.sort((a, b) => b.shown - a.shown || a.setup - b.setup);
    for (const one of complete) {
      one.place = 1 + complete.filter(({ shown }) => shown > one.shown).length;
    }
    return { complete, incomplete, decimals };
  }

  /**
   * Between which weights of one protocol the first stays first, all other weights as they are.
   *
   * The difference of two logarithms, or of steps, is linear in the weight, so that the ends are exact. Only
   * set-ups that were run on everything counted, and on this protocol, take part. `after` is who
   * comes first beyond an end; null where there is no end.
   */
  function firstPlace(rules, weights, protocol) {
    const counted = weights.map((weight, i) => weight > 0 || i === protocol);
    const rivals = rules.parts.flatMap((parts, setup) =>
      parts.every((part, i) => !counted[i] || (part && (rules.inSteps || part[0] > 0)))
        ? [setup]
        : [],
    );
    const { complete } = standing(rules, weights);
    const best = Math.max(...complete.map(({ value }) => value)); // before rounding
    const first = complete.find(({ value }) => value === best)?.setup;
    if (!rivals.includes(first)) return null;
    const score = (setup, i) => {
      const [mean] = rules.parts[setup][i];
      return rules.inSteps ? mean : Math.log(mean);
    };
    const range = { first, low: 0, below: null, high: Infinity, above: null };
    for (const rival of rivals.filter((setup) => setup !== first)) {
      const gain = score(first, protocol) - score(rival, protocol);
      const lead = sum(
        weights.map((weight, i) =>
          weight > 0 && i !== protocol ? weight * (score(first, i) - score(rival, i)) : 0,
        ),
      );
      const end = -lead / gain;
      if (gain > 0 && end > range.low) Object.assign(range, { low: end, below: rival });
      if (gain < 0 && end < range.high) Object.assign(range, { high: end, above: rival });
    }
    return range;
  }

  /**
   * Whether the runs tell that one of `count` set-ups is better than another, all pairs looked at
   * together.
   *
   * By Bonferroni, and as if no day were shared: both claim less than the bench's own rule, never
   * more. Degrees of freedom of a difference as Games and Howell, J. Educ. Stat. 1 (1976) 113.
   */
  function isBetter(one, other, count, { confidence }) {
    if (!(one.variance > 0 && other.variance > 0)) return false;
    const variance = one.variance + other.variance;
    const below = one.variance ** 2 / one.df + other.variance ** 2 / other.df;
    const df = Math.min(variance ** 2 / below, LARGE_DF);
    const each = 1 - (1 - confidence) / ((count * (count - 1)) / 2);
    return one.score - other.score > tQuantile(df, each) * Math.sqrt(variance);
  }

  window.trialpress.overall = { tQuantile, overallMean, standing, firstPlace, isBetter };
})();
