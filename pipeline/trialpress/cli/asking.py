"""The answers to ``add``: asked column by column, or given as arguments.

In:  a bench, a table, what to begin with; the keyboard.
Out: ``Answers``. Each is judged by the rules of ``check``, on a copy of the bench, before the next
     column is asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

import typer

from trialpress.bench import Bench
from trialpress.cli.output import echo, neutral
from trialpress.desk.bench_copy import findings_of
from trialpress.desk.catalogue.entry import PROTOCOLS, TypedEntry, new_entry
from trialpress.desk.catalogue.keeping import EntryVerdict, judge
from trialpress.desk.catalogue.offering import (
    ColumnOffer,
    Rows,
    TableOffer,
    copied_cells,
    offer,
    proposals,
    read_rows,
)
from trialpress.desk.catalogue.starters import Starter, starters
from trialpress.desk.catalogue.tables import method_of
from trialpress.errors import UsageError
from trialpress.intake import Finding

BLANK = "-"
_MOST_SHOWN = 12


class AnswersEndedError(UsageError):
    """Nobody answers any more."""

    def __init__(self) -> None:
        super().__init__("The answers ended before the row was whole. Nothing was written.")


@dataclass(frozen=True)
class Begun:
    """A row that is about to be typed; ``copied`` is what it begins with."""

    bench: Bench
    offer: TableOffer
    rows: Rows
    today: date
    copied: Mapping[str, str] = field(default_factory=dict)
    starter: Starter | None = None

    def proposals(self, cells: Mapping[str, str]) -> dict[str, str]:
        """What could stand where nothing was answered; what is copied goes before the usual."""
        copied = {column: text for column, text in self.copied.items() if column not in cells}
        usual = proposals(self.offer.table, {**copied, **cells}, self.rows, self.today)
        there = {column.name for column in self.offer.columns}
        return {c: text for c, text in {**usual, **copied}.items() if c in there}


@dataclass(frozen=True)
class Answers:
    """A row as answered; ``proposed`` are the columns that nobody was asked for.

    ``were_seen`` where whoever answered was shown what check says of it.
    """

    entry: TypedEntry
    proposed: frozenset[str]
    method_name: tuple[str, ...] = ()
    were_seen: bool = False

    def mark(self, column: str) -> str:
        """What to say behind a value that nobody typed."""
        return "  (proposed)" if column in self.proposed else ""


def begin(bench: Bench, table: str, like: str | None, today: date) -> Begun:
    """Read what there is, and what the row is to begin with.

    Raises
    ------
    NoSuchPatternError
        If there is nothing of that name to begin with.
    """
    rows = read_rows(bench, [table])
    begun = Begun(bench, offer(bench, table, rows), rows, today)
    starter = starters().get(like or "") if table == PROTOCOLS else None
    if starter is not None:
        return replace(begun, copied=starter.cells, starter=starter)
    return replace(begun, copied=copied_cells(table, like, rows)) if like else begun


def given(begun: Begun, cells: Mapping[str, str]) -> Answers:
    """The row that arguments make, with what is proposed where they say nothing."""
    proposed = {c: text for c, text in begun.proposals(cells).items() if c not in cells}
    return _answers(begun, {**proposed, **cells}, frozenset(proposed))


def _answers(begun: Begun, cells: Mapping[str, str], proposed: frozenset[str]) -> Answers:
    entry, protocol = new_entry(begun.offer.table, cells), cells.get("protocol", "")
    if begun.starter is None or not protocol or method_of(begun.bench, protocol) is not None:
        return Answers(entry, proposed)
    text = begun.starter.method(cells.get("title", ""))
    name = f"data/catalogue/methods/{protocol}.md"
    return Answers(replace(entry, method=text), proposed, (name,))


def asked(begun: Begun) -> Answers:
    """Ask every column, then once more those that are at fault together.

    Raises
    ------
    AnswersEndedError
        If the answers end before that.
    """
    known = findings_of(begun.bench)
    echo(f"{begun.offer.title}. {begun.offer.description}")
    echo(f"Enter takes what stands in brackets, or leaves a column blank; {BLANK} leaves it blank.")
    try:
        cells: dict[str, str] = {}
        for column in begun.offer.columns:
            cells = _ask(begun, column, cells, known)
        while errors := _verdict(begun, cells, known).errors:
            cells = _ask_again(begun, cells, errors, known)
        begun = _with_starter(begun, cells)
        for finding in _verdict(begun, cells, known).findings:
            echo(f"{finding.severity.value}: {finding.text}")
        typer.confirm("Write this row?", default=True, abort=True)
    except (typer.Abort, KeyboardInterrupt):
        raise AnswersEndedError from None
    return replace(_answers(begun, cells, frozenset()), were_seen=True)


def _verdict(begun: Begun, cells: Mapping[str, str], known: tuple[Finding, ...]) -> EntryVerdict:
    """What check would say of the answers so far, with the text that goes with them."""
    return judge(begun.bench, _answers(begun, cells, frozenset()).entry, known)


def _ask(
    begun: Begun, column: ColumnOffer, cells: Mapping[str, str], known: tuple[Finding, ...]
) -> dict[str, str]:
    """One column until nothing is wrong with it."""
    echo()
    for line in _explained(column):
        echo(line)
    proposed = begun.proposals(cells).get(column.name) or _only_choice(column)
    while True:
        text = _typed(column, proposed)
        answered = {**cells, column.name: text} if text else {**cells}
        errors = _verdict(begun, answered, known).errors
        wrong = [finding for finding in errors if finding.column == column.name]
        if not wrong:
            return answered
        for finding in wrong:
            echo(f"  {finding.severity.value}: {finding.problem}. {finding.remedy}")


def _typed(column: ColumnOffer, proposed: str) -> str:
    needed = "" if column.is_required else " (may be blank)"
    shown = f" [{proposed}]" if proposed else ""
    text: str = typer.prompt(
        neutral(f"{column.name}{needed}{shown}"), default="", show_default=False
    )
    return "" if text.strip() == BLANK else text.strip() or proposed


def _only_choice(column: ColumnOffer) -> str:
    """The answer where a column needs one and there is but one."""
    is_clear = column.is_required and not column.is_open and len(column.choices) == 1
    return column.choices[0][0] if is_clear else ""


def _explained(column: ColumnOffer) -> Iterator[str]:
    yield f"{column.title}: {column.meaning}"
    shown = [name or word for word, name in column.choices[:_MOST_SHOWN]]
    if shown and column.type != "boolean" and not _are_in(column):
        more = len(column.choices) - len(shown)
        where = "Words so far" if column.is_open else "There are"
        yield f"  {where}: {', '.join(shown)}{f' and {more} more' if more > 0 else ''}."


def _are_in(column: ColumnOffer) -> bool:
    """Whether what the column means lists its words already."""
    return not column.is_open and all(not name for _, name in column.choices)


def _ask_again(
    begun: Begun,
    cells: Mapping[str, str],
    errors: tuple[Finding, ...],
    known: tuple[Finding, ...],
) -> dict[str, str]:
    """The columns that are at fault only now that the whole row is there."""
    again = {**cells}
    for finding in errors:
        echo(f"{finding.severity.value}: {finding.text}")
    concerned = {finding.column for finding in errors}
    columns = [column for column in begun.offer.columns if column.name in concerned]
    for column in columns or begun.offer.columns:
        again.pop(column.name, None)
        again = _ask(begun, column, again, known)
    return again


def _with_starter(begun: Begun, cells: Mapping[str, str]) -> Begun:
    """Offer a text for a protocol that has none."""
    is_bare = begun.offer.table == PROTOCOLS and begun.starter is None
    if not is_bare or method_of(begun.bench, cells.get("protocol", "")) is not None:
        return begun
    names = ", ".join(starters())
    echo(f"\nNo text says yet how a run is made. Kinds of trial to copy from: {names}.")
    while True:
        name = typer.prompt("Copy from (may be blank)", default="", show_default=False).strip()
        if not name or name in starters():
            return replace(begun, starter=starters().get(name))
        echo(f"  There is no kind of trial {name}.")
