/*
 * What has to be done before a page is drawn: the look a reader chose, and the faces made ready.
 *
 * In:  what was chosen here before; a list with `data-look`.
 * Out: `data-theme` and, where something is searched for, `data-asked` on the root element, which the
 *      style sheet goes by; nothing is sent anywhere.
 */
'use strict';

(() => {
  const KEY = 'trialpress-look';
  const page = document.documentElement;

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

  // The style sheet before this script holds the faces; unpacked now they are there for the first look.
  for (const face of ['400 1em Aleo', '700 1em Aleo', '1em "Sometype Mono"']) document.fonts.load(face);
  show(chosen());
  if (new URLSearchParams(window.location.search).get('q')) page.dataset.asked = ''; // needs room

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
