"""Photos of graded runs, and what a grader can still grade by them.

In:  the days of a bench as typed: rows of runs that are graded, and their photos.
Out: a photo for each zone that a grader has not graded yet. A run is offered only where every zone
     of it has a photo, as a grader grades all zones of a run or none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from trialpress.bench import Bench
from trialpress.desk.append import UnreadableTableError, read_table_text
from trialpress.desk.replacing import NotKeptError
from trialpress.errors import UsageError
from trialpress.ordinary_file import open_ordinary
from trialpress.paths import Destination, destination_of

Row = Mapping[str, str]
_OF_RUN = ("run", "at", "setup", "protocol", "version", "replicate")
"""What the rows of a run have in common."""


class NothingToGradeError(UsageError):
    """There is no photo that this grader could grade."""

    def __init__(self, protocol: str, grader: str) -> None:
        super().__init__(
            f"There is no photo of {protocol} left for {grader}: a run can be graded where its "
            "rows are planned or made, and each of its zones has a photo in photos.csv."
        )


@dataclass(frozen=True)
class PhotoToGrade:
    """One zone of one run, and the file of its photo; ``run`` is what its rows have in common."""

    day: str
    zone: str
    file: Path
    run: Row


@dataclass(frozen=True)
class GradingOffer:
    """A protocol with photos to grade, and who has graded it; ``runs`` have a photo a zone."""

    protocol: str
    version: str
    runs: int
    graders: tuple[str, ...]


@dataclass(frozen=True)
class _Graded:
    """One run's rows, its day, and a photo by zone."""

    day: str
    rows: Sequence[Row]
    photos: Mapping[str, Path]

    @property
    def zones(self) -> list[str]:
        return sorted({row["zone"] for row in self.rows})

    @property
    def is_complete(self) -> bool:
        return all(zone in self.photos for zone in self.zones)

    def is_graded_by(self, grader: str) -> bool:
        return any(row["grader"] == grader and row["status"] == "valid" for row in self.rows)


def offers(bench: Bench) -> tuple[GradingOffer, ...]:
    """Every protocol that can be graded by photos, by name."""
    by_protocol: dict[tuple[str, str], list[_Graded]] = {}
    for run in _runs(bench):
        first = run.rows[0]
        by_protocol.setdefault((first["protocol"], first["version"]), []).append(run)
    return tuple(
        GradingOffer(
            *key,
            runs=sum(run.is_complete for run in runs),
            graders=tuple(
                sorted({row["grader"] for r in runs for row in r.rows if row["status"] == "valid"})
            ),
        )
        for key, runs in sorted(by_protocol.items())
    )


def photos_to_grade(
    bench: Bench, protocol: str, version: str, grader: str
) -> tuple[PhotoToGrade, ...]:
    """The photos of every run that a grader has not graded, in the order of the files.

    Raises
    ------
    NothingToGradeError
        If there is none.
    """
    found = tuple(
        PhotoToGrade(run.day, zone, run.photos[zone], {key: run.rows[0][key] for key in _OF_RUN})
        for run in _runs(bench)
        if (run.rows[0]["protocol"], run.rows[0]["version"]) == (protocol, version)
        and run.is_complete
        and not run.is_graded_by(grader)
        for zone in run.zones
    )
    if not found:
        raise NothingToGradeError(protocol, grader)
    return found


def _runs(bench: Bench) -> Iterator[_Graded]:
    """Every graded run that is planned or counts; one void row voids its run."""
    for folder in sorted(path for path in bench.days.glob("*") if path.is_dir()):
        photos: dict[str, dict[str, Path]] = {}
        for row in _rows(folder / "photos.csv"):
            place = folder / row["file"]
            if row.get("zone") and _is_photo(row["file"], folder):
                photos.setdefault(row["run"], {})[row["zone"]] = place
        rows: dict[str, list[Row]] = {}
        for row in _rows(folder / "gradings.csv"):
            rows.setdefault(row["run"], []).append(row)
        for run, own in rows.items():
            if all(row["status"] in {"planned", "valid"} for row in own):
                yield _Graded(folder.name, own, photos.get(run, {}))


def _is_photo(name: str, folder: Path) -> bool:
    """Whether a name leads to an ordinary file of its day."""
    if destination_of(name, folder) is not Destination.INSIDE:
        return False
    try:
        open_ordinary(folder / name, within=folder).close()
    except OSError:
        return False
    return True


def _rows(file: Path) -> Iterator[Row]:
    """The rows of a table as text; none where it is not there or cannot be read: check says so."""
    try:
        table = read_table_text(file)
    except (UnreadableTableError, NotKeptError):
        return
    if table is None:
        return
    blank = dict.fromkeys((*_OF_RUN, "zone", "grader", "grade", "status", "file"), "")
    for i in range(1, table.end):
        yield {**blank, **{key: str(cell) for key, cell in table.house_row(i).items()}}
