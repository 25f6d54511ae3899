/*
 * Tells, on a page of an edition, what has changed since; the page itself stays as it is.
 *
 * In:  rows with the key of a line and what it was then; the site's data on what stands now.
 * Out: a sentence above the table, and below each line that changed what it is now.
 */
'use strict';

(async () => {
  const { data, say, sayCount } = window.trialpress;
  const rows = [...document.querySelectorAll('[data-frozen] tr[data-key]')];
  const told = document.querySelector('[data-since]');
  const { lines, past } = await data('now');
  let changed = 0;
  let isPast = false;

  function note(row, text) {
    const line = document.createElement('span');
    line.className = 'label since';
    line.textContent = text;
    row.querySelector('th').append(' ', line);
    changed += 1;
  }

  for (const row of rows) {
    const { key, place, mean } = row.dataset;
    const line = lines[key];
    isPast ||= past.includes(key.split('|').slice(0, 2).join('|'));
    if (!line) note(row, say('not ranked now'));
    else if (String(line[0]) !== place || line[1] !== mean) {
      note(row, say('now place {place}, {mean} {unit}', { place: line[0], mean: line[1], unit: line[2] }));
    }
  }
  told.textContent = changed
    ? sayCount('{count} line has changed since.', '{count} lines have changed since.', changed)
    : say('Nothing in it has changed since.');
  if (isPast) {
    told.append(' ', say('A new way to run the protocol has begun a standing of its own since.'));
  }
  told.hidden = false;
})();
