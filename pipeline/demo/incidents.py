"""What went wrong at the bench, and what was put right afterwards.

In:  rows with the true readings.
Out: incidents by run: runs that are void, runs that collected more than was spread, runs typed
     wrongly; rows as typed, where the tester's fingers slipped; the corrections that put them and
     the catalogue right; the runs still planned.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass

from demo.rows import Correction, Count, Grading, Reading, Value, Weighing
from demo.text_table import read_cells, read_rows


@dataclass(frozen=True)
class RunKey:
    """What a run is known by before it has an id."""

    setup: str
    protocol: str
    version: str
    replicate: str


@dataclass(frozen=True)
class _Incident(RunKey):
    @property
    def key(self) -> RunKey:
        """The run it befell."""
        return RunKey(self.setup, self.protocol, self.version, self.replicate)


@dataclass(frozen=True)
class Void(_Incident):
    """A run that does not count; ``readings`` are ``kept``, or ``none`` were taken."""

    readings: str
    reason: str


@dataclass(frozen=True)
class OverRecovery(_Incident):
    """A run in which something came along with the dose."""

    extra_g: str
    note: str


@dataclass(frozen=True)
class Slip(_Incident):
    """A run typed wrongly and corrected later."""

    correction: str
    column: str
    typed: str
    corrected_on: str
    why: str


SWAPPED = "before and after swapped"

_VOIDS = read_rows(
    Void,
    """
    setup               | protocol | version | replicate | readings | reason
    nibb-100-stock      | deep-rug | 1       | 2         | kept     | stopped on the rug's edge
    fenlow-6-stock      | crumbs   | 1       | 1         | none     | bag tore when lifted out
    kubba-8-stock       | carpet   | 1       | 3         | none     | hose came off at pass two
    kubrit-21-stock     | crevices | 1       | 2         | kept     | wiping cloth fell to the floor
    immel-2-max         | deep-rug | 1       | 3         | kept     | battery flat at pass six
    aluen-5-stock       | hair     | 1       | 1         | kept     | strands of the run before
    nibb-200-stock      | carpet   | 1       | 1         | none     | started before the dust
    vasp-50-boost       | noise    | 1       | 2         | kept     | a lorry stood outside the hall
    torvek-80-stock     | deep-rug | 1       | 2         | kept     | belt slipped off
    oriq-3-stock        | stain    | 1       | 2         | kept     | tank was empty
    aluen-6-bristle     | deep-rug | 2       | 3         | none     | dose spilled beside the rug
    frasa-12-stock      | carpet   | 1       | 2         | kept     | bin lid was not shut
    braddle-4-stock     | crevices | 1       | 3         | kept     | only two of three passes made
    hessop-2-stock      | runtime  | 1       | 1         | kept     | not fully charged at the start
    tremmo-4-stock      | crumbs   | 1       | 2         | kept     | pads left water in the bin
    hofta-310-reference | deep-rug | 2       | 4         | kept     | wrong dial setting
    """,
    keys=4,
)

_OVER_RECOVERIES = read_rows(
    OverRecovery,
    """
    setup         | protocol | version | replicate | extra_g | note
    vasp-50-boost | crumbs   | 1       | 2         | 0.74    | new felt strip shed fibres
    """,
)

_SLIPS = read_rows(
    Slip,
    f"""
    correction      | setup            | protocol | version | replicate | column | typed
    2025-01-swapped | kelbrin-14-stock | deep-rug | 1       | 2         | masses | {SWAPPED}
    2025-03-strands | vasp-50-auto     | hair     | 2       | 3         | hits   | 97
    2025-06-clock   | aluen-6-roller   | runtime  | 1       | 2         | value  | 65.2
    2025-06-zone    | mosqua-2-stock   | stain    | 1       | 3         | grade  | 3
    2026-05-tens    | undrey-1-stock   | noise    | 1       | 1         | value  | 73.3
    2026-09-dose    | ilvane-1-stock   | carpet   | 1       | 1         | dose_g | 15.72
    """,
    """
    correction      | corrected_on | why
    2025-01-swapped | 2025-01-18   | Before and after stood in each other's column.
    2025-03-strands | 2025-04-06   | Counted again in the photo: strands under the rim were missed.
    2025-06-clock   | 2025-06-30   | The clock was stopped ten minutes late; the film shows the end.
    2025-06-zone    | 2025-06-22   | Grade of the zone beside it was typed twice.
    2026-05-tens    | 2026-05-20   | Tens digit mistyped.
    2026-09-dose    | 2026-09-01   | Another run's dose was typed; the film shows this one.
    """,
)

CATALOGUE_CORRECTIONS = read_rows(
    Correction,
    """
    correction          | table    | row        | column  | corrected_on | was    | now
    2025-02-price       | machines | immel-2    | price   | 2025-02-09   | 494.00 | 449.00
    2025-02-price-again | machines | immel-2    | price   | 2025-02-16   | 449.00 | 459.00
    2025-07-pile        | floors   | mat-ribbed | pile_mm | 2025-07-05   | 6      | 8
    """,
    """
    correction          | why
    2025-02-price       | Two digits were swapped.
    2025-02-price-again | The first correction left out the delivery that every buyer pays.
    2025-07-pile        | Measured with a feeler in place of a ruler.
    """,
)

_PLANNED = """
setup           | protocol
torvek-60-stock | deep-rug
gradda-2-stock  | deep-rug
"""

VOIDS = {void.key: void for void in _VOIDS}
OVER_RECOVERIES = {run.key: run for run in _OVER_RECOVERIES}
SLIPS = {slip.key: slip for slip in _SLIPS}
PLANNED = tuple((cells["setup"], cells["protocol"]) for cells in read_cells(_PLANNED))


_TABLES = {Weighing: "weighings", Value: "values", Count: "counts", Grading: "gradings"}
_ZONE_OF_SLIP = ("b3", "th")


def table_of(row: Reading) -> str:
    """The file a reading belongs to, without its ending."""
    return _TABLES[type(row)]


def as_typed(row: Reading) -> Reading:
    """The row with its slip in it, where there is one."""
    return type(row)(**(asdict(row) | _typed_cells(row)))


def corrections(rows: Iterable[Reading]) -> tuple[Correction, ...]:
    """Rows of ``corrections.csv`` in the order in which they were made."""
    made = [*CATALOGUE_CORRECTIONS, *(line for row in rows for line in _corrections_of(row))]
    return tuple(sorted(made, key=lambda line: (line.corrected_on, line.correction)))


def _slip_of(row: Reading) -> Slip | None:
    """The slip of this row: of a graded run only one zone's row has it."""
    if isinstance(row, Grading) and (row.zone, row.grader) != _ZONE_OF_SLIP:
        return None
    return SLIPS.get(RunKey(row.setup, row.protocol, row.version, row.replicate))


def _typed_cells(row: Reading) -> dict[str, str]:
    slip = _slip_of(row)
    if slip is None:
        return {}
    if slip.typed == SWAPPED and isinstance(row, Weighing):
        return {"before_g": row.after_g, "after_g": row.before_g}
    return {slip.column: slip.typed}


def _corrections_of(row: Reading) -> list[Correction]:
    slip = _slip_of(row)
    if slip is None:
        return []
    key = f"{row.run}|{row.zone}|{row.grader}" if isinstance(row, Grading) else row.run
    return [
        Correction(
            correction=slip.correction,
            table=table_of(row),
            row=key,
            column=column,
            corrected_on=slip.corrected_on,
            was=typed,
            now=getattr(row, column),
            why=slip.why,
        )
        for column, typed in _typed_cells(row).items()
    ]
