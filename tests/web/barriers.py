"""What axe finds wrong with a page in a real browser.

In:  a page, and the rules to go by.
Out: a line for each fault, with the first element it is wrong on.

Contrast takes four fifths of the time, as axe looks at what is painted behind each text, and a
standing has a thousand texts that one line of a template wrote. So contrast is looked at for three
texts of each look and place: the same colour, size and weight, in elements of the same names,
classes and grounds. Every other rule looks at every element.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Any

from playwright.sync_api import Page

WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
WCAG_RULES = {"type": "tag", "values": WCAG}
ALL_RULES = {"type": "tag", "values": [*WCAG, "best-practice"]}
RULES_OF_LOOK = {"type": "rule", "values": ["color-contrast", "target-size", "link-in-text-block"]}
LOOK = """async (rules) => {
  const places = new Map();
  const placeOf = (element) => {
    if (!element) return '';
    if (!places.has(element)) {
      const { backgroundColor, backgroundImage, opacity } = getComputedStyle(element);
      const own = [element.tagName, element.getAttribute('class'), backgroundColor,
        backgroundImage, opacity];
      places.set(element, placeOf(element.parentElement) + ' > ' + own.join(' '));
    }
    return places.get(element);
  };
  for (const { dataset } of document.querySelectorAll('[data-looked-at]')) delete dataset.lookedAt;
  const alike = new Map();
  for (const element of document.querySelectorAll('body, body *')) {
    const hasText = [...element.childNodes].some((n) => n.nodeType === 3 && n.data.trim());
    if (hasText && element.checkVisibility()) {
      const { color, fontSize, fontWeight, visibility, fill } = getComputedStyle(element);
      const kind = [placeOf(element), color, fontSize, fontWeight, visibility, fill].join(' ');
      alike.set(kind, [...(alike.get(kind) ?? []), element]);
    }
  }
  for (const elements of alike.values()) {
    for (const element of elements.slice(0, 3)) element.dataset.lookedAt = '';
  }
  axe.configure({ rules: [{ id: 'color-contrast', selector: '[data-looked-at]' }] });
  const found = await axe.run(
    document, { runOnly: rules, preload: false, resultTypes: ['violations'], selectors: false });
  return found.violations.map(({ id, nodes: [{ html }] }) => `${id}: ${html.slice(0, 160)}`);
}"""


def barriers(page: Page, rules: dict[str, Any]) -> list[str]:
    """What axe finds wrong by some of its rules."""
    if page.evaluate("typeof axe === 'undefined'"):
        page.evaluate(_axe())
    found: list[str] = page.evaluate(LOOK, rules)
    return found


@cache
def _axe() -> str:
    return (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
