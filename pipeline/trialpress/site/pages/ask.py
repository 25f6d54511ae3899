"""Asking the newest edition in SQL, in the page: questions to begin with, and what answers.

In:  the newest edition.
Out: ``AskPage``; none where there is no edition. The questions are those of the project's README,
     about the first series of the edition; what the answers are comes from its SQLite file.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from trialpress.editions import LATEST
from trialpress.site import urls
from trialpress.site.frame import Frame, frame_of
from trialpress.site.frozen import FrozenStanding
from trialpress.site.source import SiteSource
from trialpress.words import message, say

QUESTIONS = (
    (
        message("Robots under 400 that picked up more than 70 % from a rug"),
        (
            "select m.name, s.mean, s.unit, m.price, m.currency, p.title,\n"
            "    s.place_best, s.place_worst\n"
            "from standings as s\n"
            "inner join machines as m on s.machine = m.machine\n"
            "inner join protocols as p on s.protocol = p.protocol and s.version = p.version\n"
            "inner join floors as f on p.floor = f.floor\n"
            "where m.kind = 'robot' and m.price < 400 and f.covering = 'rug' and s.unit = '%'\n"
            "    and s.mean > 70\n"
            "order by s.mean desc"
        ),
    ),
    (
        message("The top cut"),
        (
            "select place, setup, mean, low, high, place_best, place_worst\n"
            "from standings\n"
            "where protocol = '{protocol}' and version = {version} and top <> 'out'\n"
            "order by position"
        ),
    ),
    (
        message("Each maker's whole range"),
        (
            "select maker, machines, median, field_median, shift, shift_low, shift_high, relation\n"
            "from maker_against_field\n"
            "where protocol = '{protocol}' and version = {version}\n"
            "order by shift desc"
        ),
    ),
    (
        message("Best, median and worst of each maker"),
        (
            "select maker, setups, best, median, worst, in_top_cut, unit\n"
            "from maker_overview\n"
            "where protocol = '{protocol}' and version = {version}\n"
            "order by median desc"
        ),
    ),
    (
        message("Did other brushes help?"),
        (
            "select protocol, setup, other, differs, difference, low, high, relation\n"
            "from setup_deltas\n"
            "order by protocol, setup"
        ),
    ),
    (
        message("What goes with good results?"),
        (
            "select factor, machines, makers, effect_name, effect, effect_low, effect_high,\n"
            "    p_fdr, relation\n"
            "from associations\n"
            "where protocol = '{protocol}' and version = {version}"
        ),
    ),
    (
        message("Do the figures on the box mean anything?"),
        (
            "select quantity, machines, makers, rho, rho_low, rho_high, p_fdr, relation\n"
            "from claim_associations\n"
            "where protocol = '{protocol}' and version = {version}"
        ),
    ),
    (
        message("Machines that nobody beats at their price"),
        (
            "select setup, mean, price, priced_on, front, why\n"
            "from value_front\n"
            "where protocol = '{protocol}' and version = {version} and front is not 'beaten'\n"
            "order by price"
        ),
    ),
    (
        message("Who could swap with the third?"),
        (
            "select c.other, c.difference, c.low, c.high, c.relation\n"
            "from comparisons as c inner join standings as s\n"
            "    on c.protocol = s.protocol and c.version = s.version and c.setup = s.setup\n"
            "where s.protocol = '{protocol}' and s.version = {version} and s.position = 3\n"
            "    and c.relation in ('cannot tell', 'level')"
        ),
    ),
    (
        message("What moved at last, and why?"),
        (
            "select protocol, setup, change, place_before, place, why, new_runs, new_above\n"
            "from movements\n"
            "where change <> 'stayed' and since = (select max(since) from movement_spans)"
        ),
    ),
    (
        message("How much air power do spec sheets state?"),
        (
            "select machine, operating_point, pressure_kpa, flow_l_per_s, air_power_w, why\n"
            "from air_powers\n"
            "order by air_power_w desc nulls last"
        ),
    ),
)
"""Questions, and the SQL that answers each."""


@dataclass(frozen=True)
class SqlQuestion:
    """A question in words and in SQL."""

    words: str
    sql: str


@dataclass(frozen=True)
class AskPage:
    """Everything the page shows; ``database`` is the edition's file, fetched when asked."""

    template: ClassVar[str] = "pages/ask.html"
    frame: Frame
    version: str
    database: str
    questions: tuple[SqlQuestion, ...]


def ask_pages(source: SiteSource) -> Iterator[AskPage]:
    """The page that asks the newest edition, where there is one."""
    for newest in source.editions[-1:]:
        yield AskPage(
            frame=frame_of(
                source.view.settings,
                urls.ASK,
                say("Ask the data"),
                say("Ask every table of the newest edition in SQL, in the page."),
                under=urls.DATA,
            ),
            version=str(newest.edition.version),
            database=urls.download_url(f"{LATEST}/dataset.sqlite"),
            questions=tuple(questions_about(newest.standings[:1])),
        )


def questions_about(first: Sequence[FrozenStanding]) -> Iterator[SqlQuestion]:
    """Every question, about the series of a line of an edition; none where it has no line."""
    for line in first:
        for words, sql in QUESTIONS:
            filled = sql.format(protocol=line.protocol, version=line.version)
            yield SqlQuestion(say(words), filled)
