"""The questions that come after the standings, and where each is answered.

In:  what the bench has to answer them with.
Out: ``QuestionsPage``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from trialpress.site import urls
from trialpress.site.frame import Frame, Link, frame_of
from trialpress.site.pages.prices import OVERALL
from trialpress.site.source import SiteSource
from trialpress.view import verdicts
from trialpress.words import say


@dataclass(frozen=True)
class Question:
    """One question, how it is answered, an answer where one sentence holds it, and where."""

    words: str
    how: str
    answer: str
    links: tuple[Link, ...]


@dataclass(frozen=True)
class QuestionsPage:
    """Everything the page shows."""

    template: ClassVar[str] = "pages/questions.html"
    frame: Frame
    questions: tuple[Question, ...]


def questions_page(source: SiteSource) -> QuestionsPage:
    """The page of questions."""
    return QuestionsPage(
        frame=frame_of(
            source.view.settings,
            urls.QUESTIONS,
            say("What the numbers say"),
            say(
                "Makers, set-ups, kinds, claims, prices, cuts and changes: each question with "
                "where it is answered, and how sure the answer is."
            ),
        ),
        questions=(
            _makers(source),
            _set_ups(source),
            _factors(),
            _claims(),
            _prices(source),
            _cuts(source),
            _moved(source),
        ),
    )


def _makers(source: SiteSource) -> Question:
    makers = tuple(Link(row.name, urls.maker_url(row.maker)) for row in source.view.makers)
    return Question(
        say("Does the whole range of a maker do well, or badly?"),
        say(
            "Best with the number tried, median and worst in every series, and all its machines "
            "against others of the same kinds."
        ),
        "",
        (Link(say("Two makers side by side"), urls.MAKER_PAIR), *makers),
    )


def _set_ups(source: SiteSource) -> Question:
    machines = {source.view.setup[setup].machine for setup, _ in source.sentences.setup_pairs}
    return Question(
        say("Did the other brushes, mode or firmware help?"),
        say("The set-ups of one machine against each other, series by series."),
        "",
        tuple(
            Link(source.view.names.machines[row.machine], f"{urls.machine_url(row.machine)}#pairs")
            for row in source.view.machines
            if row.machine in machines
        ),
    )


def _factors() -> Question:
    return Question(
        say("What goes with good results?"),
        say(
            "Head, mop, kind, price and year of release on every floor, with every machine to be "
            "seen."
        ),
        "",
        (Link(say("What goes with good results"), urls.FACTORS),),
    )


def _claims() -> Question:
    return Question(
        say("Do the big numbers on the box mean anything?"),
        say("Every claim as stated and in one unit, against what was measured; and air power."),
        "",
        (Link(say("Claims against measurements"), urls.CLAIMS),),
    )


def _prices(source: SiteSource) -> Question:
    return Question(
        say("Which machines does nobody beat at their price?"),
        say("Results against prices, intervals taken into account; old prices are marked."),
        source.sentences.fronts.get(OVERALL, ""),
        (Link(say("Results against prices"), urls.PRICES),),
    )


def _cuts(source: SiteSource) -> Question:
    cut = verdicts.cut_words(source.view.settings.top_n)
    return Question(
        # For translators: {cut} is "the top 3" or "first place".
        say("Who is in {cut}, or in the first of any other number?", cut=cut),
        say(
            "On every standing: any number, of a maker, a price band or a kind; the value of the "
            "cut, who is just outside, and who could swap."
        ),
        "",
        tuple(
            Link(series.title, f"{urls.standing_url(series)}#cut")
            for series in source.view.current_series
            if source.lines[series.protocol, series.version]
        ),
    )


def _moved(source: SiteSource) -> Question:
    spans = tuple(source.sentences.spans.values())
    moved = Link(say("What moved"), f"{urls.NEWS}#moved")
    return Question(
        say("What moved, and why?"),
        say("New, up or down, by new runs, corrections, newcomers or a new version of a protocol."),
        "",
        (moved,) if spans else (Link(say("What is new"), urls.NEWS),),
    )
