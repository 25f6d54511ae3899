/*
 * Tells what the mark nearest to a pointer or a thumb is, beside it.
 *
 * In:  figures of class `chart`: pictures that `charts.js` keeps live, whose marks know their rows, and
 *      strips, whose circles have a title.
 * Out: a reading beside the mark, and its set-up marked in table and charts. A click opens the set-up;
 *      under a thumb the first one tells and the second opens. Arrow keys go from mark to mark.
 */
'use strict';

(() => {
  const { charts, data, element, root, say } = window.trialpress;
  const NEAR = { mouse: 24, pen: 24, touch: 44 }; // pixels
  const GAP = 10;
  const ARROWS = {
    ArrowRight: ['x', 1],
    ArrowLeft: ['x', -1],
    ArrowDown: ['y', 1],
    ArrowUp: ['y', -1],
  };
  const box = element('div', { class: 'chart-reading', role: 'status', hidden: '' });
  let told = null;

  /** What stands in a figure and has something to tell, where it is on the screen now. */
  function marksOf(figure) {
    return [...figure.querySelectorAll('svg :is(path, circle, line, rect, text)')].flatMap((node) => {
      const { reading, setup = null } = node.__data__?.datum ?? {};
      const words = reading ?? node.querySelector(':scope > title')?.textContent;
      const at = words ? node.getBoundingClientRect() : null;
      return at && at.width + at.height > 0 ? [{ figure, setup, words, at }] : [];
    });
  }

  function away({ at }, x, y) {
    const across = Math.max(at.left - x, 0, x - at.right);
    const down = Math.max(at.top - y, 0, y - at.bottom);
    return Math.hypot(across, down);
  }

  function nearest(figure, { clientX: x, clientY: y, pointerType }) {
    const reach = NEAR[pointerType] ?? NEAR.mouse;
    let found = null;
    let least = reach;
    for (const mark of marksOf(figure)) {
      const distance = away(mark, x, y);
      if (distance < least || (distance === least && !found)) {
        found = mark;
        least = distance;
      }
    }
    return found;
  }

  /** Say it beside its mark, within the figure; nothing where there is none. */
  function tell(mark, { isSpoken = false, words = mark?.words } = {}) {
    if (mark?.words === told?.words && words === box.textContent) return;
    told = mark;
    box.hidden = mark === null;
    charts?.choose(mark?.setup ?? null);
    if (!mark) return;
    const { figure, at } = mark;
    figure.append(box);
    figure.classList.toggle('opens-machines', mark.setup !== null);
    box.setAttribute('aria-hidden', String(!isSpoken)); // the tables say all of it
    box.textContent = words;
    const whole = figure.getBoundingClientRect();
    const across = (at.left + at.right) / 2 - whole.left - box.offsetWidth / 2;
    const most = whole.width - box.offsetWidth;
    const above = at.top - whole.top - box.offsetHeight - GAP;
    const isHigh = at.top - box.offsetHeight - GAP < 0;
    box.style.left = `${Math.max(0, Math.min(across, most))}px`;
    box.style.top = `${isHigh ? at.bottom - whole.top + GAP : above}px`;
  }

  async function open({ setup }) {
    const link = document.querySelector(`tr[data-setup="${CSS.escape(setup)}"] .name a`);
    window.location.assign(link?.href ?? root + (await data(`setups/${setup}`)).name.url);
  }

  /** Under a thumb the picture may only just have come alive. */
  async function click(figure, event) {
    if (event.target.closest('a, button, summary, textarea')) return;
    const before = told;
    await charts?.settled();
    const mark = nearest(figure, event);
    const isKnown = mark !== null && before?.words === mark.words;
    if (mark?.setup && (event.pointerType !== 'touch' || isKnown)) open(mark);
    else if (mark?.setup) tell(mark, { words: say('{reading}. Tap again to open it.', { reading: mark.words }) });
    else tell(mark);
  }

  async function press(figure, event) {
    if (event.key === 'Escape') tell(null);
    if (event.key === 'Enter' && told?.setup) open(told);
    const [axis, step] = ARROWS[event.key] ?? [];
    if (!axis) return;
    event.preventDefault();
    await charts?.settled();
    const once = new Map(marksOf(figure).map((mark) => [mark.words, mark]));
    const centre = ({ at }) => (axis === 'x' ? at.left + at.right : at.top + at.bottom);
    const marks = [...once.values()].sort((a, b) => centre(a) - centre(b));
    const here = marks.findIndex(({ words }) => words === told?.words);
    const next = here < 0 ? 0 : Math.min(Math.max(here + step, 0), marks.length - 1);
    if (marks.length) tell(marks[next], { isSpoken: true });
  }

  /** Keys reach a picture that can be gone to; there is one for each width. */
  function addKeys(picture, figure) {
    const name = picture.querySelector('svg > title')?.textContent ?? figure.dataset.strips;
    const label = say('{title}: arrow keys go from mark to mark', { title: name });
    for (const [key, value] of Object.entries({ tabindex: 0, role: 'group', 'aria-label': label })) {
      picture.setAttribute(key, value);
    }
    picture.addEventListener('keydown', (event) => press(figure, event));
    picture.addEventListener('blur', () => tell(null));
  }

  for (const figure of document.querySelectorAll('figure.chart, figure[data-chart]')) {
    let isWaiting = false;
    figure.addEventListener('pointermove', (event) => {
      if (isWaiting || event.pointerType === 'touch') return;
      isWaiting = true;
      window.requestAnimationFrame(() => {
        isWaiting = false;
        tell(nearest(figure, event));
      });
    });
    figure.addEventListener('pointerleave', ({ pointerType }) => {
      if (pointerType !== 'touch') tell(null);
    });
    figure.addEventListener('click', (event) => click(figure, event));
    for (const picture of figure.querySelectorAll('[data-chart-picture], .strips')) addKeys(picture, figure);
  }

  /** The one whose row has the focus, where its mark is in view. */
  document.addEventListener('focusin', async ({ target }) => {
    const setup = target.closest('tr[data-setup]')?.dataset.setup;
    if (!setup || !charts) return;
    await charts.settled();
    const isSeen = ({ at }) => at.bottom > 0 && at.top < window.innerHeight;
    const marks = [...document.querySelectorAll('[data-chart]')].flatMap(marksOf);
    const mark = marks.find((one) => one.setup === setup && isSeen(one));
    if (mark) tell(mark);
  });
  document.addEventListener('pointerdown', ({ target, pointerType }) => {
    if (pointerType === 'touch' && told && !told.figure.contains(target)) tell(null);
  });
})();
