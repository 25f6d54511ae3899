"""Which stills a kit has, by what it is asked for.

In:  the view, the subject, and what is around every still.
Out: the stills, in the order a film would want them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from trialpress.kit.request import Subject
from trialpress.kit.stills.claim import MeasuredClaim, claim_still
from trialpress.kit.stills.frame import Around
from trialpress.kit.stills.maker import fields_of, maker_still
from trialpress.kit.stills.pair import pair_still, pairings
from trialpress.kit.stills.runs import runs_of, runs_still
from trialpress.kit.stills.standing import standing_still
from trialpress.kit.stills.still import Still
from trialpress.kit.stills.value import PricedSetup, priced, value_still
from trialpress.site import urls
from trialpress.view import View
from trialpress.view.sentences import Sentences
from trialpress.words import figures, say


@dataclass(frozen=True)
class Source:
    """Everything that stills and texts are made from.

    ``embargo`` is the date before which none of it may be shown; None where all of it may.
    ``edition`` is the newest edition of the data; blank where there is none.
    """

    view: View
    sentences: Sentences
    subject: Subject
    embargo: date | None
    edition: str = ""

    def address(self, url: str) -> str:
        """A page's address as a person would type it."""
        whole = f"{self.view.settings.base_url}{url}"
        return whole.removeprefix("https://").removeprefix("http://").removesuffix("index.html")

    @property
    def embargo_words(self) -> str:
        """What every file says while it may not be shown; blank where it may."""
        if self.embargo is None:
            return ""
        return say("Not to be shown before {day}", day=figures.day(self.embargo))

    @property
    def as_of_words(self) -> str:
        """The date that all of it is as of."""
        return say("as of {day}", day=figures.day(self.view.store.as_of))

    @property
    def notice(self) -> str:
        """The first sentence of what the bench says on every page."""
        first, dot, _ = (self.view.settings.notice or "").strip().partition(". ")
        return f"{first}." if dot else first

    def around(self, url: str) -> Around:
        """What is around the still of a page."""
        name = self.view.settings.name
        page = self.address(url)
        return Around(name, self.as_of_words, self.notice, self.embargo_words, page)


def stills_of(source: Source) -> Iterator[Still]:
    """Every still of the kit."""
    subject = source.subject
    if subject.request.maker is not None:
        yield from _of_maker(source, subject.request.maker)
    for series in subject.series:
        around = source.around(urls.standing_url(series))
        yield standing_still(source.view, series, subject.setups, around)
    if subject.request.setup is not None:
        yield from _of_setup(source, subject.request.setup)


def _of_maker(source: Source, maker: str) -> Iterator[Still]:
    fields = fields_of(source.view, source.subject.series, maker)
    if fields:
        yield maker_still(source.view, fields, maker, source.around(urls.maker_url(maker)))


def _of_setup(source: Source, setup: str) -> Iterator[Still]:
    view, subject = source.view, source.subject
    machine = view.setup[setup].machine
    around = source.around(urls.machine_url(machine))
    for series in subject.series:
        for row in subject.standings(view, series):
            yield runs_still(view, series, row, around)
    for other in subject.against:
        pairs = pairings(view, subject.series, setup, other)
        if pairs:
            beside = source.around(urls.compare_url(setup, other))
            yield pair_still(view, pairs, (setup, other), beside)
    for claim in claims_of(source, setup):
        yield claim_still(view, claim, source.around(urls.claims_url(claim.row.quantity)))
    for found in priced_of(source, setup):
        yield value_still(view, found, source.around(urls.prices_url(found.series)))
    yield from _of_maker(source, view.machine[machine].maker)


def claims_of(source: Source, setup: str) -> list[MeasuredClaim]:
    """The newest claims that were held against the set-up in a series that is shown."""
    view, keys = source.view, {one.key for one in source.subject.series}
    found = []
    for row in (row for rows in view.analysed.claims.values() for row in rows):
        key = (row.protocol or "", row.version or 0)
        if row.setup != setup or key not in keys or row.bound is None or not row.is_newest:
            continue
        standing = next(one for one in view.standings_of[key] if one.setup == setup)
        sentence = source.sentences.claims[row.claim]
        found.append(MeasuredClaim(row, standing, runs_of(view, standing), sentence))
    return found


def priced_of(source: Source, setup: str) -> list[PricedSetup]:
    """The set-up among prices, in each series where that can be told."""
    found = (
        priced(source.view, series, setup, source.sentences.values.get((setup, series.key), ""))
        for series in source.subject.series
    )
    return [one for one in found if one is not None]
