/*
 * Sorts a table by the column whose heading is pressed: up, then down.
 *
 * In:  headings with `data-sort`, number or text; cells with `data-value` where their text is not
 *      what they are sorted by.
 * Out: rows in order, `aria-sort` on the heading, `data-reordered` on a table that is not as it was
 *      published, the view in the address as `sort=mean-down`; above the table a list to choose the
 *      order from, for screens too narrow for headings.
 */
'use strict';

(() => {
  const { address, say } = window.trialpress;
  const UP = 'ascending';
  const DOWN = 'descending';
  const NARROW = window.matchMedia('(max-width: 52rem)'); // as in the style sheet
  const WORDS = {
    number: { [UP]: say('smallest first'), [DOWN]: say('largest first') },
    text: { [UP]: say('A to Z'), [DOWN]: say('Z to A') },
  };

  /** What a heading is called in the address: its words, joined by hyphens. */
  function nameOf(heading) {
    const words = heading.textContent.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
    return words.join('-');
  }

  /** An order as the address names it. */
  function keyIn(heading, order) {
    return `${nameOf(heading)}-${order === UP ? 'up' : 'down'}`;
  }

  /** A table with headings to press, and the order it was published in. */
  class Sorted {
    constructor(table) {
      this.body = table.tBodies[0];
      this.published = [...this.body.rows];
      this.headings = [...table.tHead.rows[0].cells];
      this.initial = this.headings.map((heading) => heading.getAttribute('aria-sort'));
      this.addButtons(this.headings.filter((one) => one.dataset.sort));
      this.addList(table);
    }

    /** Buttons in the headings, as long as the headings are seen. */
    addButtons(headings) {
      const buttons = headings.map((heading) => {
        const button = document.createElement('button');
        button.type = 'button';
        button.addEventListener('click', () => this.press(heading));
        return button;
      });
      const place = () =>
        headings.forEach((heading, i) => {
          const words = heading.querySelector('button') ?? heading;
          if (NARROW.matches) heading.replaceChildren(...words.childNodes);
          else if (words === heading) {
            buttons[i].append(...heading.childNodes);
            heading.append(buttons[i]);
          }
        });
      NARROW.addEventListener('change', place);
      place();
    }

    /** The same orders as a list; the style sheet shows it where the headings are not seen. */
    addList(table) {
      this.list = document.createElement('select');
      for (const heading of this.headings.filter((one) => one.dataset.sort)) {
        for (const order of [UP, DOWN]) {
          const words = WORDS[heading.dataset.sort][order];
          this.list.add(new Option(`${heading.textContent.trim()}, ${words}`, keyIn(heading, order)));
        }
      }
      this.list.addEventListener('change', () => {
        address.change({ sort: this.list.value });
        follow();
      });
      const line = document.createElement('p');
      const label = document.createElement('label');
      this.list.id = `order-${tables.length}`;
      Object.assign(label, { htmlFor: this.list.id, textContent: say('Order by') });
      line.className = 'order-by';
      line.append(label, ' ', this.list);
      table.before(line);
    }

    press(heading) {
      const order = heading.getAttribute('aria-sort') === UP ? DOWN : UP;
      this.sort(heading, order);
      address.change({ sort: keyIn(heading, order) });
    }

    sort(heading, order) {
      const column = this.headings.indexOf(heading);
      const compare = heading.dataset.sort === 'number' ? byNumber : byText;
      const keyed = this.published.map((row) => ({ row, key: keyOf(row.cells[column]) }));
      keyed.sort((a, b) => {
        // What is missing comes last, whichever way; what is equal stays as it was published.
        if (a.key === '' || b.key === '') return (a.key === '') - (b.key === '');
        return order === UP ? compare(a.key, b.key) : compare(b.key, a.key);
      });
      this.body.append(...keyed.map(({ row }) => row));
      document.dispatchEvent(new Event('trialpress:sorted'));
      this.mark(this.headings.map((one) => (one === heading ? order : null)));
    }

    restore() {
      this.body.append(...this.published);
      document.dispatchEvent(new Event('trialpress:sorted'));
      this.mark(this.initial);
    }

    mark(orders) {
      const isPublished = orders.every((order, column) => order === this.initial[column]);
      this.body.parentNode.toggleAttribute('data-reordered', !isPublished);
      this.headings.forEach((heading, column) => {
        if (orders[column]) heading.setAttribute('aria-sort', orders[column]);
        else heading.removeAttribute('aria-sort');
        if (orders[column]) this.list.value = keyIn(heading, orders[column]);
      });
    }
  }

  function keyOf(cell) {
    return cell.dataset.value ?? cell.textContent.trim();
  }

  function byNumber(a, b) {
    return Number(a) - Number(b);
  }

  function byText(a, b) {
    return a.localeCompare(b, document.documentElement.lang, { numeric: true });
  }

  const headings = [...document.querySelectorAll('th[data-sort]')];
  const tables = [];
  for (const table of new Set(headings.map((heading) => heading.closest('table')))) {
    tables.push(new Sorted(table));
  }

  function follow() {
    const [, name, direction] = /^(.+)-(up|down)$/.exec(address.read().get('sort')) ?? [];
    for (const table of tables) {
      const heading = table.headings.find((one) => one.dataset.sort && nameOf(one) === name);
      if (heading) table.sort(heading, direction === 'up' ? UP : DOWN);
      else table.restore();
    }
  }

  address.follow(follow);
})();
