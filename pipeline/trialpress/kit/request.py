"""What a kit is asked for, and what of it there is to be seen.

In:  names as typed on the command line, and the view as of one date.
Out: a ``Subject``: the set-ups looked at and the series to show; a refusal that names what is near,
     or when something under embargo may be shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from trialpress.errors import UsageError
from trialpress.intake.nearest import meant
from trialpress.view import View, terms
from trialpress.view.results import Standing
from trialpress.view.typed import Protocol
from trialpress.words import say


@dataclass(frozen=True)
class KitRequest:
    """A kit for a set-up, for a maker, or for the top of a protocol: one of the three.

    Attributes
    ----------
    setup, maker, top : str or None
        What it is for; ``top`` is a protocol.
    protocols : tuple of str
        Those to show; blank for all that there are.
    against : tuple of str
        Set-ups to hold the one against.
    """

    setup: str | None = None
    maker: str | None = None
    top: str | None = None
    protocols: tuple[str, ...] = ()
    against: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The kit's folder."""
        if self.top is not None:
            return f"top-{self.top}"
        return self.setup if self.setup is not None else f"maker-{self.maker}"


class NothingAskedError(UsageError):
    """A kit is for one thing."""

    def __init__(self) -> None:
        super().__init__(
            "Name what the kit is for, one thing alone: a set-up, --maker MAKER or --top PROTOCOL. "
            "--against goes with a set-up."
        )


class NoSuchSubjectError(UsageError):
    """Nothing of that name is to be seen."""

    def __init__(self, what: str, name: str, known: Iterable[str], as_of: date) -> None:
        super().__init__(
            f"There is no {what} {name} to be seen as of {as_of}. "
            f"{meant(name, known) or 'Check the name. '}"
            "What is later or under embargo is seen with --as-of DATE."
        )


class UnderEmbargoError(UsageError):
    """The set-up may not be shown yet."""

    def __init__(self, setup: str, publish_on: date) -> None:
        super().__init__(
            f"{setup} is under embargo until {publish_on}, so no kit of it is made. "
            f"With --as-of {publish_on} it is, and every file of it says so."
        )


@dataclass(frozen=True)
class NotShown:
    """A protocol that was asked for and is not in the kit, and why."""

    protocol: str
    title: str
    why: str


@dataclass(frozen=True)
class Subject:
    """What a kit is of: the set-ups looked at, those held against the first, and the series."""

    request: KitRequest
    setups: tuple[str, ...]
    against: tuple[str, ...]
    series: tuple[Protocol, ...]
    not_shown: tuple[NotShown, ...]

    def standings(self, view: View, series: Protocol) -> list[Standing]:
        """The standings of the set-ups looked at, in their order."""
        by_setup = {row.setup: row for row in view.standings_of.get(series.key, ())}
        return [by_setup[setup] for setup in self.setups if setup in by_setup]


def subject_of(view: View, request: KitRequest, embargoes: Mapping[str, date]) -> Subject:
    """Find what is asked for.

    Parameters
    ----------
    view : View
        As of one date, with every result table.
    request : KitRequest
        As typed.
    embargoes : mapping of set-up to date
        Set-ups that may not be shown on that date, and from when on they may.

    Raises
    ------
    NothingAskedError, NoSuchSubjectError, UnderEmbargoError
        If there is nothing to make a kit of.
    """
    asked = [one for one in (request.setup, request.maker, request.top) if one is not None]
    if len(asked) != 1 or (request.against and request.setup is None):
        raise NothingAskedError
    for setup in (request.setup, *request.against):
        if setup is not None:
            _expect_setup(view, setup, embargoes)
    setups = _setups(view, request)
    current = {one.protocol: one for one in view.current_series}
    wanted = (request.top,) if request.top is not None else request.protocols or tuple(current)
    for protocol in wanted:
        if protocol not in current:
            raise NoSuchSubjectError("protocol", protocol, current, view.store.as_of)
    chosen = [current[protocol] for protocol in wanted]
    missing = tuple(_not_shown(view, setups, chosen))
    left_out = {one.protocol for one in missing}
    series = tuple(one for one in chosen if one.protocol not in left_out)
    return Subject(request, setups, request.against, series, missing)


def _expect_setup(view: View, setup: str, embargoes: Mapping[str, date]) -> None:
    if setup in view.setup:
        return
    if setup in embargoes:
        raise UnderEmbargoError(setup, embargoes[setup])
    raise NoSuchSubjectError("set-up", setup, view.setup, view.store.as_of)


def _setups(view: View, request: KitRequest) -> tuple[str, ...]:
    if request.setup is not None:
        return (request.setup,)
    if request.maker is None:
        return ()
    if request.maker not in view.maker:
        raise NoSuchSubjectError("maker", request.maker, view.maker, view.store.as_of)
    machines = {row.machine for row in view.machines_of[request.maker]}
    return tuple(row.setup for row in view.setups if row.machine in machines)


def _not_shown(view: View, setups: Sequence[str], series: Iterable[Protocol]) -> Iterator[NotShown]:
    """The series without a standing to look at, and why each has none."""
    for one in series:
        ranked = {row.setup for row in view.standings_of.get(one.key, ())}
        if ranked.intersection(setups) or (ranked and not setups):
            continue
        reasons = {
            row.setup: row.why for row in view.not_ranked if (row.protocol, row.version) == one.key
        }
        why = next((terms.WHY[reasons[setup]] for setup in setups if setup in reasons), "")
        yield NotShown(one.protocol, one.name.full, why or say("no run of it was made"))
