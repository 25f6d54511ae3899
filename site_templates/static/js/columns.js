/*
 * Shows the columns of the chosen floors only.
 *
 * In:  a form with `data-columns`, a box a floor; headings with `data-column-of`, the floor of each.
 * Out: columns hidden or shown; the choice in the address as `floors=rug-moss,mat-ribbed`. Without any
 *      choice all are shown.
 *
 * Short: one choice.
 */
'use strict';

(() => {
  const { address } = window.trialpress;
  const form = document.querySelector('[data-columns]');
  const boxes = [...form.querySelectorAll('input')];
  const headings = [...document.querySelectorAll('[data-column-of]')];
  const { rows } = headings[0].closest('table');

  function show() {
    const chosen = boxes.filter(({ checked }) => checked).map(({ value }) => value);
    for (const heading of headings) {
      const isHidden = chosen.length > 0 && !chosen.includes(heading.dataset.columnOf);
      if (heading.hidden === isHidden) continue;
      for (const row of rows) row.cells[heading.cellIndex].hidden = isHidden;
    }
    return chosen;
  }

  form.addEventListener('change', () => address.change({ floors: show().join(',') }));
  address.follow(() => {
    const asked = (address.read().get('floors') ?? '').split(',');
    for (const box of boxes) box.checked = asked.includes(box.value);
    show();
  });
})();
