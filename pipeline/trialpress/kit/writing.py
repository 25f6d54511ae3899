"""One kit into the folder of kits, whole or not at all.

In:  the view, what is asked for, the folder of kits.
Out: the kit's folder, swapped in; what was written, what could not be shown, and warnings.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from trialpress.bench import Bench
from trialpress.charts import shipped_templates
from trialpress.editions import read_editions
from trialpress.kit.drawing import draw_into, tasks_of
from trialpress.kit.making import Source, stills_of
from trialpress.kit.manifest import MANIFEST, Manifest, existing_kits, read_manifest, rows_digest
from trialpress.kit.request import KitRequest, NotShown, subject_of
from trialpress.kit.stills.still import Still
from trialpress.kit.texts import texts_of
from trialpress.paths import write_below
from trialpress.view import View
from trialpress.view.sentences import Sentences

__all__ = ["KitOrder", "WrittenKit", "existing_kits", "rows_digest", "write_kit"]
FONTS = "fonts"


@dataclass(frozen=True)
class KitOrder:
    """One kit asked for.

    Attributes
    ----------
    request : KitRequest
        What it is for.
    bench : Bench
        For templates that replace the shipped ones.
    today : date
        What is under embargo then is marked so on every file.
    embargoes : mapping of set-up to date
        Set-ups that may not be shown on the date of the view, and from when on they may.
    site : Path
        The site that the kit's links lead to, as it was built last; it need not be there.
    tell : callable
        Called with a few words as the work goes on.
    """

    request: KitRequest
    bench: Bench
    today: date
    embargoes: Mapping[str, date]
    site: Path
    tell: Callable[[str], None]


@dataclass(frozen=True)
class WrittenKit:
    """What was written: the kit's name, its stills, what could not be shown, and warnings."""

    name: str
    stills: tuple[str, ...]
    drawn_anew: int
    pictures: int
    not_shown: tuple[NotShown, ...]
    warnings: tuple[str, ...]


def write_kit(view: View, order: KitOrder, folder: Path, before: Path) -> WrittenKit:
    """Write one kit.

    Parameters
    ----------
    view : View
        As of one date, with every result table and the analyses.
    order : KitOrder
        What is asked for.
    folder : Path
        Where to write; made where absent, and expected to be empty.
    before : Path
        The kit of the same name as it is now, whose pictures are kept where they would be the same;
        it need not be there.

    Raises
    ------
    NothingAskedError, NoSuchSubjectError, UnderEmbargoError
        If there is nothing to make a kit of.
    """
    subject = subject_of(view, order.request, order.embargoes)
    editions = read_editions(order.bench, view.store.as_of)
    newest = str(editions[-1].version) if editions else ""
    embargo = _embargo(view, order.today)
    source = Source(view, Sentences(view), subject, embargo, newest)
    order.tell("laying out stills")
    stills = tuple(stills_of(source))
    texts = texts_of(source, stills, order.bench, order.site)
    for name, text in texts.files.items():
        write_below(folder, name, text.encode("utf-8"))
    _copy_fonts(folder)
    old = read_manifest(before)
    known = old.drawn if old is not None else {}
    drawn = draw_into(folder, list(tasks_of(stills)), before, known, order.tell)
    manifest = Manifest(
        request=order.request,
        as_of=view.store.as_of.isoformat(),
        rows=rows_digest(view.store),
        embargo=source.embargo.isoformat() if source.embargo else "",
        not_shown=tuple((one.protocol, one.why) for one in subject.not_shown),
        warnings=texts.warnings,
        drawn=drawn,
    )
    write_below(folder, MANIFEST, manifest.text.encode("utf-8"))
    anew = sum(known.get(place) != one for place, one in drawn.items())
    return WrittenKit(
        order.request.name, _names(stills), anew, len(drawn), subject.not_shown, texts.warnings
    )


def _names(stills: Sequence[Still]) -> tuple[str, ...]:
    return tuple(still.name for still in stills)


def _embargo(view: View, today: date) -> date | None:
    """The last day on which something that is seen may not be shown yet; places depend on all."""
    ends = [row.publish_on for row in view.setups if row.publish_on and row.publish_on > today]
    return max(ends, default=None)


def _copy_fonts(folder: Path) -> None:
    """The faces that the SVGs and pages are set in, with their licences."""
    for file in sorted((shipped_templates() / "static" / FONTS).iterdir()):
        write_below(folder, f"{FONTS}/{file.name}", file.read_bytes())
