"""The page of one machine with two sets of brushes."""

from __future__ import annotations

from pathlib import Path

from trialpress.view.terms import why_words
from web.conftest import OpenPage
from web.reading_results import Row, plain, read_results, verdict_words


def figure(row: Row, column: str, sign: str = "") -> str:
    return f"{float(row[column]):{sign}.{row['decimals']}f}"


def test_the_brushes_are_told_apart_as_the_published_differences_say(
    built_site: Path, open_page: OpenPage
) -> None:
    series = {(row["protocol"], row["version"]): row for row in read_results(built_site, "series")}
    titles = {
        key: row["title"] + ("" if row["is_current"] == "true" else f", version {row['version']}")
        for key, row in series.items()
    }
    published = {
        titles[row["protocol"], row["version"]]: (
            figure(row, "difference", sign="+" if float(row["difference"]) else ""),
            f"{figure(row, 'low')} to {figure(row, 'high')}",
            verdict_words(row, series[row["protocol"], row["version"]]),
        )
        for row in read_results(built_site, "setup_deltas")
        if row["setup"] == "aluen-6-bristle"
    }

    rows = open_page(built_site / "machines" / "aluen-6.html").locator(".pairs tbody tr")

    shown = {
        row.locator("th").inner_text(): (
            plain(row.locator("td").nth(0).inner_text()).split(" ")[0],
            plain(row.locator("td").nth(1).inner_text()),
            row.locator(".verdict").inner_text().strip(),
        )
        for row in rows.all()
    }
    assert len(shown) == 8
    assert shown == published


def test_claims_stand_beside_what_was_measured_as_published(
    built_site: Path, open_page: OpenPage
) -> None:
    published = sorted(
        (
            row["quantity"].replace("-", " "),
            figure(row, "measured") if row["measured"] else "",
            row["verdict"] or why_words(row["why"]),
        )
        for row in read_results(built_site, "claim_checks")
        if row["machine"] == "aluen-6"
    )

    page = open_page(built_site / "machines" / "aluen-6.html", scripts=False)

    shown = [
        (
            row.locator("th a").inner_text(),
            row.locator("td").nth(1).inner_text().partition(" ")[0],
            row.locator("td").last.inner_text().strip(),
        )
        for row in page.locator(".claimed tbody tr").all()
    ]
    assert len(shown) > 2
    assert shown == published
