"""The figures that may be said of a subject, each with how sure it is and where it stands.

In:  the source of a kit.
Out: ``Fact`` by series; the sentences that carry a film; what must not be claimed, and why.

No sentence says more than the standing it is made from: places follow the range that the runs
leave, the top cut what was decided of it, verdicts those of results.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from trialpress.kit.making import Source, claims_of, priced_of
from trialpress.kit.speech import said_number, said_with_unit
from trialpress.kit.stills.claim import MeasuredClaim
from trialpress.kit.stills.naming import StandingWords, place_says, words_of
from trialpress.site import urls
from trialpress.view import verdicts
from trialpress.view.results import Standing
from trialpress.view.sentences import claims
from trialpress.view.typed import Protocol
from trialpress.words import figures, say

MOST_SENTENCES = 3


@dataclass(frozen=True)
class Fact:
    """One standing: as it is said and as it is written; ``marks`` are what else must be known."""

    series: Protocol
    row: Standing
    name: str
    ranked: int
    spoken: str
    page: str
    marks: tuple[str, ...]

    @property
    def words(self) -> StandingWords:
        """The figures as they are published."""
        return words_of(self.row)

    @property
    def written(self) -> str:
        """Value and unit."""
        return figures.with_unit(self.words.value, self.row.unit)

    @property
    def places(self) -> str:
        """Its place, and those that the runs leave."""
        return place_says(self.row, self.ranked)

    @property
    def rank(self) -> float:
        """How far down the standing it is, from 0 to 1."""
        return self.row.place / self.ranked


@dataclass(frozen=True)
class NotToSay:
    """Something that the figures do not carry, and why."""

    claim: str
    why: str


def facts_of(source: Source) -> tuple[Fact, ...]:
    """Every standing of the subject; of the top of a protocol those in its cut."""
    return tuple(
        _fact(source, series, row)
        for series in source.subject.series
        for row in _looked_at(source, series)
    )


def _looked_at(source: Source, series: Protocol) -> Sequence[Standing]:
    if source.subject.setups:
        return source.subject.standings(source.view, series)
    top_n = source.view.settings.top_n
    return [row for row in source.view.standings_of[series.key] if row.place <= top_n]


def _fact(source: Source, series: Protocol, row: Standing) -> Fact:
    return Fact(
        series=series,
        row=row,
        name=source.view.names.setups[row.setup].full,
        ranked=len(source.view.standings_of[series.key]),
        spoken=_spoken(row),
        page=source.address(urls.standing_url(series)),
        marks=verdicts.marks_of(row),
    )


def _spoken(row: Standing) -> str:
    """The figure and its interval as they are spoken."""
    value = said_with_unit(row.mean, row.decimals, row.unit)
    if row.low is None or row.high is None:
        return value
    return say(
        "{value}, somewhere between {low} and {high}",
        value=value,
        low=said_number(row.low, row.decimals),
        high=said_number(row.high, row.decimals),
    )


def carrying_sentences(source: Source, facts: Sequence[Fact]) -> tuple[str, ...]:
    """At most three: where it stands best, where it stands worst, and what it claims or costs."""
    return tuple(_sentences(source, facts))[:MOST_SENTENCES]


def _sentences(source: Source, facts: Sequence[Fact]) -> Iterator[str]:
    ordered = sorted(facts, key=lambda fact: (fact.row.top != "certain", fact.rank))
    if ordered:
        yield sentence_of(ordered[0])
    if len(ordered) > 1:
        yield sentence_of(max(ordered[1:], key=lambda fact: fact.rank))
    setup = source.subject.request.setup
    if setup is None:
        yield from (sentence_of(fact) for fact in ordered[1:2])
        return
    judged = [
        claim for claim in claims_of(source, setup) if claim.row.verdict in {"kept", "not kept"}
    ]
    yield from (_claim_sentence(source, claim) for claim in judged[:1])
    yield from (found.sentence for found in priced_of(source, setup)[:1])


def _claim_sentence(source: Source, claim: MeasuredClaim) -> str:
    row = claim.standing
    return say(
        "{name} states {quantity} {stated}; measured {measured} ({runs}): {verdict}.",
        name=source.view.names.setups[row.setup].full,
        quantity=claim.row.quantity.replace("-", " "),
        stated=claim.stated,
        measured=figures.with_unit(claim.measured, row.unit),
        runs=words_of(row).runs,
        verdict=claims.verdict_words(claim.row.verdict),
    )


def sentence_of(fact: Fact) -> str:
    """One standing in one sentence."""
    interval = fact.words.interval
    sentence = say(
        "On {title}, {name} gets {value}",
        title=fact.series.name.full,
        name=fact.name,
        value=fact.written,
    )
    if interval:
        sentence = say(
            "{sentence} ({interval}, {runs})",
            sentence=sentence,
            interval=interval,
            runs=_runs(fact),
        )
    else:
        sentence = say("{sentence} ({runs})", sentence=sentence, runs=_runs(fact))
    return say("{sentence} and stands {places}.", sentence=sentence, places=fact.places)


def _runs(fact: Fact) -> str:
    return fact.words.runs


def not_to_say(source: Source, facts: Sequence[Fact]) -> tuple[NotToSay, ...]:
    """What a film is tempted to say, and these figures do not carry."""
    return (
        *_of_places(facts),
        *_of_cut(source, facts),
        *_of_first(source, facts),
        *_of_runs(facts),
        *_of_claims(source),
        _of_specimen(source),
    )


def _of_places(facts: Sequence[Fact]) -> Iterator[NotToSay]:
    """Every place that is not the only one the runs leave."""
    left = [
        say(
            "{places} on {title}",
            places=figures.places_spoken(fact.row.place_best, fact.row.place_worst),
            title=_on(fact, facts),
        )
        for fact in facts
        if fact.row.place_best != fact.row.place_worst
    ]
    if left:
        yield NotToSay(
            say("a single place, as if it were sure"),
            say("the runs leave {places}", places=figures.listing(left)),
        )


def _of_cut(source: Source, facts: Sequence[Fact]) -> Iterator[NotToSay]:
    cut = verdicts.cut_words(source.view.settings.top_n)
    titles = [_on(fact, facts) for fact in facts if fact.row.top == "possible"]
    if titles:
        yield NotToSay(
            say("that it is in {cut}, or that it is not, on {t}", cut=cut, t=_listed(titles)),
            say("the runs leave both open"),
        )


def _of_first(source: Source, facts: Sequence[Fact]) -> Iterator[NotToSay]:
    untold = [
        say(
            "{first} on {title}",
            first=source.view.names.setups[_first(source, fact).setup].full,
            title=_on(fact, facts),
        )
        for fact in facts
        if fact.row.relation_to_first == "cannot tell"
    ]
    if untold:
        yield NotToSay(
            say("that it is worse than {others}", others=_listed(untold)),
            say("the differences between them cannot be told from these runs"),
        )


def _first(source: Source, fact: Fact) -> Standing:
    return source.view.standings_of[fact.series.key][0]


def _of_runs(facts: Sequence[Fact]) -> Iterator[NotToSay]:
    for fact in facts:
        if fact.marks:
            yield NotToSay(
                say("the result on {title} without a word on its runs", title=_on(fact, facts)),
                figures.listing(fact.marks),
            )


def _on(fact: Fact, facts: Sequence[Fact]) -> str:
    """The series; with the set-up where several are told of."""
    title = fact.series.name.full
    if len({one.name for one in facts}) == 1:
        return title
    return say("{title} ({name})", title=title, name=fact.name)


def _listed(names: Sequence[str]) -> str:
    return figures.listing(names, "or")


def _of_claims(source: Source) -> Iterator[NotToSay]:
    setup = source.subject.request.setup
    for claim in claims_of(source, setup) if setup is not None else ():
        if claim.row.verdict == "cannot tell":
            yield NotToSay(
                say(
                    "that its {quantity} is, or is not, the {stated} stated",
                    quantity=claim.row.quantity.replace("-", " "),
                    stated=claim.stated,
                ),
                say("cannot tell whether the claim is kept: measured {m}", m=claim.measured),
            )


def _of_specimen(source: Source) -> NotToSay:
    return NotToSay(
        say("anything about every machine of this kind that is sold"),
        say(
            "one specimen was tested at {bench}, on its floors and with its soils",
            bench=source.view.settings.name,
        ),
    )
