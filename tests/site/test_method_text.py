"""Markdown of a method as HTML."""

from __future__ import annotations

from trialpress.site.methods import method_html, method_parts


def test_html_stays_text_and_pictures_are_left_out() -> None:
    html = method_html('Sweep <script>alert(1)</script> ![x](y.png) <b onclick="z">now</b>')

    assert "<script" not in html
    assert "<img" not in html
    assert "<b" not in html
    assert "&lt;script&gt;" in html


def test_a_link_that_would_run_code_is_no_link() -> None:
    assert "href" not in method_html("[here](javascript:alert(1))")


def test_the_title_gives_way_and_headings_fit_below_the_page_s_own() -> None:
    html = method_html("# Dust\n\n## Steps\n\n### Dose\n\nGo.")

    assert "Dust" not in html
    assert "<h3>Steps</h3>" in html
    assert "<h4>Dose</h4>" in html


def test_headings_never_go_below_the_last_level() -> None:
    html = method_html("\n\n".join(f"{'#' * level} Level {level}" for level in range(2, 7)))

    assert "<h3>Level 2</h3>" in html
    assert "<h6>Level 6</h6>" in html
    assert "<h7>" not in html


def test_what_a_method_is_for_can_stand_before_its_cautions() -> None:
    purpose, rest = method_parts("# Dust\n\n## Purpose\n\nWhy.\n\n## Steps\n\n1. Sweep.\n")

    assert purpose == "<h2>Purpose</h2>\n<p>Why.</p>\n"
    assert rest.startswith("<h3>Steps</h3>")
    assert method_parts("Only this.\n") == (None, "<p>Only this.</p>\n")
    assert method_parts("Why.\n\n## Steps\n")[0] == "<p>Why.</p>\n"
