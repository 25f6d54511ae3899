/*
 * Redraws the charts of a page: only the set-ups shown, and the one a reader is looking at in the
 * accent.
 *
 * In:  figures with `data-chart`, the name of the chart; in each a picture of either layout.
 * Out: `trialpress.charts`, with show(), choose(), keep(), renew() and settled().
 *
 * A page opens with plain pictures. The runtime and the specifications that redraw them are large,
 * so they are loaded when a chart or a filter is first reached for, or a chart first has to change. Of a chart with very
 * many rows only those are redrawn that are near a reader, and the others as they are scrolled to.
 */
'use strict';

(() => {
  const { data, load } = window.trialpress;
  const RUNTIME = 'static/vendor/vega-runtime.js';
  const MANY = 60; // rows
  const state = { shown: null, kept: null, chosen: null };
  const whenIdle = window.requestIdleCallback ?? ((call) => window.setTimeout(call, 100));
  const LONGEST_WAIT_MS = 1000; // a page that is never idle, or not in front, is redrawn all the same
  let isWanted = false;
  let isRestComing = false;
  let drawn = Promise.resolve();

  /** One layout of one chart: its picture and, once it is live, its view. */
  class Drawing {
    constructor(picture) {
      this.picture = picture;
      this.figure = picture.closest('[data-chart]');
      this.view = null;
      this.near = null;
      this.turn = Promise.resolve();
      const [title, desc] = ['title', 'desc'].map((tag) => picture.querySelector(`svg > ${tag}`));
      this.words = { title: title.textContent, id: desc.id, description: desc.textContent };
    }

    /** Whether a reader sees it; of the layouts that are not used there is nothing to see. */
    get isInView() {
      const { top, bottom, width } = this.picture.getBoundingClientRect();
      return width > 0 && top < window.innerHeight && bottom > 0;
    }

    get isLaidOut() {
      return this.picture.getClientRects().length > 0;
    }

    /** From and to, in pixels of the drawing: what is within so many screens of a reader. */
    within(screens) {
      const { top, width } = this.picture.getBoundingClientRect();
      const scale = this.picture.querySelector('svg').viewBox.baseVal.width / width;
      const { innerHeight } = window;
      return [-screens, 1 + screens].map((end) => (end * innerHeight - top) * scale);
    }

    /** Whether a reader is close to rows that are left out, which begin below key and headings. */
    get isShort() {
      if (!this.near || !this.isInView) return false;
      const [from, to] = this.within(0.5);
      return from < this.near[0] || to > this.near[1];
    }

    /** Bring the picture in step with the state, one redrawing after the other. */
    update() {
      this.isBehind = false;
      this.turn = this.turn.then(async () => {
        this.view ??= await this.start();
        this.view.signal('shown', state.shown).signal('chosen', state.chosen ?? state.kept);
        do {
          if (this.hasMany) this.drawNear(this.within(1));
          await this.view.runAsync();
          if (!this.live.isConnected) this.replacePicture();
        } while (this.isShort); // a picture that grows or shrinks can move what is in view
      });
      return this.turn;
    }

    /** Draw only what is between these heights from now on; null draws all. */
    drawNear(near) {
      this.near = near;
      this.view.signal('near', near);
    }

    /** Forget what is drawn; the next update draws it anew, under these words. */
    renew(words) {
      this.turn = this.turn.then(() => {
        Object.assign(this.words, words);
        this.view?.finalize();
        this.view = null;
        this.near = null;
      });
    }

    async start() {
      const layouts = data(`charts/${this.figure.dataset.chart}`);
      await load(RUNTIME);
      const { View, expressionInterpreter, parse } = window.vegaRuntime;
      const specification = (await layouts)[this.picture.dataset.chartPicture];
      const { signals, data: sets } = specification;
      const { values } = sets.find((set) => set.name === 'rows');
      this.hasMany = values.length > MANY && signals.some((signal) => signal.name === 'near');
      this.live = document.createElement('div');
      const view = new View(parse(specification, {}, { ast: true }), {
        container: this.live,
        expr: expressionInterpreter,
        renderer: 'svg',
      });
      return view;
    }

    /** Put the live picture where the still one was, under the same name and description. */
    replacePicture() {
      const { title, id, description } = this.words;
      const words = document.createElement('p');
      Object.assign(words, { id, textContent: description, hidden: true });
      this.live.querySelector('svg').setAttribute('aria-hidden', 'true'); // its parts say nothing
      this.live.removeAttribute('aria-roledescription');
      this.live.setAttribute('role', 'img');
      this.live.setAttribute('aria-label', title);
      this.live.setAttribute('aria-describedby', id);
      this.picture.replaceChildren(this.live, words);
    }
  }

  const drawings = [...document.querySelectorAll('[data-chart-picture]')].map(
    (picture) => new Drawing(picture),
  );

  /** Redraw what is in view at once, and what is further off when the browser has time. */
  function redraw() {
    isWanted = true;
    for (const one of drawings) one.isBehind = true;
    drawn = Promise.all(drawings.filter((one) => one.isInView).map((one) => one.update()));
    if (isRestComing) return;
    isRestComing = true;
    whenIdle(() => {
      isRestComing = false;
      for (const one of drawings.filter(({ isBehind, isLaidOut }) => isBehind && isLaidOut)) {
        one.update();
      }
    }, { timeout: LONGEST_WAIT_MS });
  }

  /** Show these set-ups only; null shows all. */
  function show(setups) {
    if (setups === null && !isWanted) return;
    state.shown = setups;
    redraw();
  }

  /** Draw one chart from other rows, under another title and description. */
  async function renew(name, rows, words) {
    for (const layout of Object.values(await data(`charts/${name}`))) {
      layout.data.find((set) => set.name === 'rows').values = structuredClone(rows);
    }
    const own = drawings.filter(({ figure }) => figure.dataset.chart === name);
    for (const drawing of own) drawing.renew(words);
    redraw();
  }

  /** When everything asked for so far is drawn that is in view. */
  async function settled() {
    await drawn;
  }

  /** Mark one set-up in the live charts whenever no other is looked at. */
  function keep(setup, isWorthARuntime) {
    if (setup === state.kept) return;
    state.kept = setup;
    if (isWanted || isWorthARuntime) redraw();
  }

  /** Mark the set-up that is looked at in the tables and the live charts; null marks none. */
  function choose(setup) {
    if (setup === state.chosen) return;
    state.chosen = setup;
    for (const row of document.querySelectorAll('tr[data-setup]')) {
      row.toggleAttribute('data-chosen', row.dataset.setup === setup);
    }
    if (isWanted) redraw();
  }

  for (const figure of new Set(drawings.map((one) => one.figure))) {
    figure.addEventListener('pointerenter', () => redraw());
    figure.addEventListener('focusin', () => redraw());
  }

  document.addEventListener('trialpress:soon', () => redraw());
  document.addEventListener('focusin', ({ target }) => {
    const setup = target.closest('tr[data-setup]')?.dataset.setup ?? null;
    choose(setup);
  });
  window.addEventListener('resize', () => {
    if (isWanted) redraw();
  });
  window.addEventListener('scroll', () => {
    if (drawings.some((one) => one.isShort)) redraw();
  });
  window.addEventListener('beforeprint', () => {
    for (const one of drawings.filter(({ near }) => near)) {
      one.drawNear(null);
      one.view.run();
    }
  });

  window.trialpress.charts = { show, choose, keep, renew, settled };
})();
