/*
 * Takes a view away: as a link that opens it where it was, or its table as a file.
 *
 * In:  tables, and where a page can be filtered the line that says so.
 * Out: a button below each table; the view's address on the clipboard, with the row at the top of the
 *      screen as `at=`; a CSV file of the rows and columns that are seen.
 */
'use strict';

(() => {
  const { address, element, filters, say } = window.trialpress;
  const line = document.querySelector('[data-filtered]');

  /** The first row that a reader who has scrolled still sees. */
  function rowAtTop() {
    const rows = [...document.querySelectorAll('[data-rows] > tr')].filter((row) => !row.hidden);
    if (!rows.length || rows[0].getBoundingClientRect().top >= 0) return '';
    return rows.find((row) => row.getBoundingClientRect().top >= 0)?.dataset.setup ?? '';
  }

  async function copy() {
    const said = line.querySelector('[data-copied-view]');
    const link = new URL(window.location.href);
    const at = rowAtTop();
    if (at) link.searchParams.set('at', at);
    else link.searchParams.delete('at');
    try {
      await navigator.clipboard.writeText(link.href);
      said.textContent = say('Copied.');
    } catch {
      said.textContent = say('Not allowed here: the address above is the link.');
    }
  }

  if (line) {
    line.querySelector('[data-copy-view]').addEventListener('click', copy);
    line.querySelector('[data-show-all]').addEventListener('click', () => filters.clear());
  }

  /** Of a table whose places are those of all, whatever is shown. */
  function tell() {
    const filteredBy = filters.words();
    line.hidden = !filteredBy.length;
    line.querySelector('[data-filtered-words]').textContent = say('Filtered ({filters}). Overall places are those among all.', {
      filters: filteredBy.join(', '),
    });
  }

  if (line && !document.querySelector('[data-verdicts], [data-column-verdicts]')) {
    document.addEventListener('trialpress:shown', tell);
    tell();
  }

  function textOf(cell) {
    const part = cell.querySelector('.bracketed, .ends, .verdict');
    return (cell.dataset.value || (part ?? cell).textContent).replace(/\s+/g, ' ').trim();
  }

  /** A cell of a file: in quotes where it must be, and never a formula to a spreadsheet. */
  function quoted(text) {
    const safe = /^[=+@]/.test(text) ? `'${text}` : text;
    const mustBeQuoted = ['"', ',', '\n'].some((sign) => safe.includes(sign));
    return mustBeQuoted ? `"${safe.replaceAll('"', '""')}"` : safe;
  }

  function csvOf(table) {
    const heads = [...table.tHead.rows[0].cells].map((cell, i) => ({ cell, i }));
    const seen = heads.filter(({ cell, i }) => {
      const below = table.tBodies[0].rows[0]?.cells[i];
      return cell.textContent.trim() && below && window.getComputedStyle(below).display !== 'none' && !cell.matches('.choose, .opens');
    });
    const rows = [...table.tBodies].flatMap((body) => [...body.rows]).filter(
      (row) => row.hidden !== true && row.cells.length > 1, // one that waits to be found is shown
    );
    const lines = [
      seen.map(({ cell }) => cell.textContent.replace(/[↑↓]/g, '').trim()),
      ...rows.map((row) => seen.map(({ i }) => textOf(row.cells[i]))),
    ];
    return `${lines.map((cells) => cells.map(quoted).join(',')).join('\r\n')}\r\n`;
  }

  const tables = [...document.querySelectorAll('main table:not(.head)')].filter(({ tHead }) => tHead);
  for (const [i, table] of tables.entries()) {
    const button = element('button', { type: 'button' }, say('This table as CSV'));
    button.addEventListener('click', () => {
      const file = new Blob([csvOf(table)], { type: 'text/csv' });
      const link = element('a', { href: URL.createObjectURL(file) });
      const page = window.location.pathname.split('/').pop().replace(/\.html$/, '');
      link.download = `${page || 'index'}${tables.length > 1 ? `-${i + 1}` : ''}.csv`;
      link.click();
      window.setTimeout(() => URL.revokeObjectURL(link.href), 1000);
    });
    table.after(element('p', { class: 'take scripts-only' }, button));
  }

  const at = address.read().get('at');
  const row = at && document.querySelector(`[data-rows] > tr[data-setup="${CSS.escape(at)}"]`);
  if (row?.hidden === 'until-found') window.trialpress.rows.reveal();
  row?.scrollIntoView();
})();
