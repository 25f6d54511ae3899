/*
 * Leads from a reader's own case to the standing that answers it, filtered.
 *
 * In:  a form with `data-way-in`: a floor, whose value is the page of its standing, a kind, a price.
 * Out: that page, with kind and price as its filters in the address.
 */
'use strict';

(() => {
  const { root } = window.trialpress;
  const form = document.querySelector('[data-way-in]');

  form.addEventListener('submit', (event) => {
    event.preventDefault();
    const { floor, kind, price_max: price } = form.elements;
    const query = new URLSearchParams();
    for (const { name, value } of [kind, price]) if (value) query.set(name, value);
    window.location.assign(`${root}${floor.value}${query.size ? `?${query}` : ''}`);
  });
})();
