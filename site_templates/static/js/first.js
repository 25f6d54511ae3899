/*
 * What has to be done before a page is drawn: the look a reader chose, and the faces asked for early.
 *
 * In:  `data-faces` on this script; what was chosen here before; a list with `data-look`.
 * Out: `data-theme` and, where something is searched for, `data-asked` on the root element, which the
 *      style sheet goes by; nothing is sent anywhere.
 *
 * A page opened from disk may not ask for faces early: they come when the style sheet asks.
 */
'use strict';

(() => {
  const KEY = 'trialpress-look';
  const page = document.documentElement;
  const { faces } = document.currentScript.dataset;

  /** What was chosen; nothing where the browser keeps nothing for pages. */
  function chosen() {
    try {
      return window.localStorage.getItem(KEY) ?? '';
    } catch {
      return '';
    }
  }

  function keep(look) {
    try {
      if (look) window.localStorage.setItem(KEY, look);
      else window.localStorage.removeItem(KEY);
    } catch {
      // The choice holds for this page alone.
    }
  }

  function show(look) {
    if (['light', 'dark'].includes(look)) page.dataset.theme = look;
    else delete page.dataset.theme;
  }

  show(chosen());
  if (new URLSearchParams(window.location.search).get('q')) page.dataset.asked = ''; // needs room
  if (window.location.protocol !== 'file:') {
    for (const face of faces.split(' ')) {
      const link = document.createElement('link');
      Object.assign(link, { rel: 'preload', as: 'font', type: 'font/woff2', crossOrigin: '' });
      link.href = `${page.dataset.root}static/fonts/${face}.woff2`;
      document.head.append(link);
    }
  }

  document.addEventListener('DOMContentLoaded', () => {
    const list = document.querySelector('[data-look]');
    if (!list) return;
    list.value = page.dataset.theme ?? '';
    list.addEventListener('change', () => {
      show(list.value);
      keep(list.value);
    });
    window.addEventListener('storage', ({ key }) => {
      if (key !== KEY) return; // chosen in another window
      show(chosen());
      list.value = page.dataset.theme ?? '';
    });
  });
})();
