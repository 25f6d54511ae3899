"""The protocols: their rows, how a run is made, and how runs scatter in the invented world.

In:  for the method pages, a text for each protocol with ``$names`` for the figures of its row, and
     the cautions that several protocols share, both in ``methods/``.
Out: rows of ``protocols.csv``, for each protocol the truth that its runs are drawn with, and the
     text of ``catalogue/methods/<protocol>.md``.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from pathlib import Path
from string import Template

from demo.rows import Protocol
from demo.text_table import read_cells, read_rows

_TYPED = read_rows(
    Protocol,
    """
    protocol | version | title                    | reading   | floor         | soil
    deep-rug | 1       | Dust deep in a rug       | collected | rug-heather   | rug-dust
    deep-rug | 2       | Dust deep in a rug       | collected | rug-moss      | rug-dust
    carpet   | 1       | Dust on loop carpet      | collected | carpet-slate  | house-dust
    crevices | 1       | Grit in gapped boards    | left      | boards-gapped | gap-grit
    crumbs   | 1       | Crumbs on tiles          | collected | tiles-matt    | cereal
    hair     | 1       | Long hair on a door mat  | count     | mat-ribbed    | hair-bundle
    hair     | 2       | Long hair on a door mat  | count     | mat-ribbed    | hair-bundle
    stain    | 1       | Dried stains on tiles    | graded    | tiles-matt    | beet-film
    noise    | 1       | Noise at ear height      | value     | carpet-slate  |
    runtime  | 1       | Running time on a charge | value     | carpet-slate  |
    """,
    """
    protocol | version | dose_g | dose_tolerance_g | passes | minutes | clean_limit | zones
    deep-rug | 1       | 22     | 0.4              | 7      |         |             |
    deep-rug | 2       | 22     | 0.4              | 7      |         |             |
    carpet   | 1       | 16     | 0.3              | 4      |         |             |
    crevices | 1       | 9      | 0.2              | 3      |         |             |
    crumbs   | 1       | 26     | 0.5              | 2      |         |             |
    hair     | 1       |        |                  | 3      |         |             |
    hair     | 2       |        |                  | 3      |         |             |
    stain    | 1       |        |                  | 4      |         | 1           | 20
    noise    | 1       |        |                  |        | 0.5     |             |
    runtime  | 1       |        |                  |        |         |             |
    """,
    """
    protocol | version | unit  | better | min_runs | matters | from_date  | to_date    | continues
    deep-rug | 1       | %     | higher | 3        | 2       | 2024-09-01 | 2025-09-20 | false
    deep-rug | 2       | %     | higher | 3        | 2       | 2025-10-01 |            | false
    carpet   | 1       | %     | higher | 3        | 1.5     | 2024-09-01 |            | false
    crevices | 1       | %     | higher | 3        | 1       | 2024-09-01 |            | false
    crumbs   | 1       | %     | higher | 3        | 1       | 2024-09-01 |            | false
    hair     | 1       | %     | higher | 3        | 5       | 2024-09-01 | 2025-02-28 | false
    hair     | 2       | %     | higher | 3        | 5       | 2025-03-01 |            | true
    stain    | 1       | %     | higher | 3        | 10      | 2024-09-01 |            | false
    noise    | 1       | dB(A) | lower  | 2        | 2       | 2024-09-01 |            | false
    runtime  | 1       | min   | higher | 2        | 5       | 2024-09-01 |            | false
    """,
    """
    protocol | version | in_overall
    deep-rug | 1       | 1
    deep-rug | 2       | 1
    carpet   | 1       | 1
    crevices | 1       | 1
    crumbs   | 1       | 1
    hair     | 1       | 0.5
    hair     | 2       | 0.5
    stain    | 1       | 0
    noise    | 1       | 0
    runtime  | 1       | 0
    """,
    """
    protocol | version | least | most | kinds
    deep-rug | 1       |       |      | robot stick canister upright
    deep-rug | 2       |       |      | robot stick canister upright
    carpet   | 1       |       |      | robot stick canister upright
    crevices | 1       |       |      | robot stick canister upright wet-dry
    crumbs   | 1       |       |      |
    hair     | 1       |       |      | robot stick canister upright handheld
    hair     | 2       |       |      | robot stick canister upright handheld
    stain    | 1       |       |      | wet-dry robot
    noise    | 1       | 30    | 110  |
    runtime  | 1       | 1     | 300  | stick handheld robot wet-dry
    """,
    keys=2,
)
PROTOCOLS = tuple(replace(row, kinds=row.kinds.replace(" ", "|")) for row in _TYPED)

# run_sd and day_sd: standard deviations of runs within a day and of days, in the protocol's unit.
# takes: minutes from one run to the next. runs: valid runs a set-up is meant to get on its day.
_TRUTHS = """
protocol | run_sd | day_sd | takes | runs
deep-rug | 1.6    | 0.5    | 11    | 3
carpet   | 1.2    | 0.4    | 9     | 3
crevices | 0.8    | 0.2    | 8     | 3
crumbs   | 0.9    | 0.2    | 6     | 3
hair     | 1.2    | 0.4    | 6     | 3
stain    | 2.0    | 0.6    | 9     | 3
noise    | 0.6    | 0.3    | 4     | 2
runtime  | 1.4    | 0.4    | 5     | 2
"""


_TEXTS = Path(__file__).parent / "methods"
_CAUTIONS = {
    "deep-rug": ("dust", "mains", "batteries", "noise"),
    "carpet": ("dust", "mains", "batteries", "noise"),
    "crevices": ("dust", "mains", "batteries", "noise"),
    "crumbs": ("mains", "batteries", "noise"),
    "hair": ("mains", "batteries", "noise"),
    "stain": ("wet", "batteries", "noise"),
    "noise": ("mains", "batteries", "noise"),
    "runtime": ("batteries", "noise"),
}


@dataclass(frozen=True)
class Truth:
    """How one protocol's runs come out, apart from what the set-up is capable of."""

    run_sd: float
    day_sd: float
    takes: int
    runs: int


TRUTHS = {
    cells["protocol"]: Truth(
        run_sd=float(cells["run_sd"]),
        day_sd=float(cells["day_sd"]),
        takes=int(cells["takes"]),
        runs=int(cells["runs"]),
    )
    for cells in read_cells(_TRUTHS)
}


def protocol_on(name: str, date: str) -> Protocol:
    """The version of a protocol that is in force on a date."""
    return next(
        row
        for row in PROTOCOLS
        if row.protocol == name and row.from_date <= date <= (row.to_date or "9999")
    )


def method_pages() -> dict[str, str]:
    """Text of each protocol's page; the figures are those of its newest version."""
    newest = {row.protocol: row for row in PROTOCOLS}
    return {name: _page(name, asdict(row)) for name, row in newest.items()}


def _page(protocol: str, figures: dict[str, str]) -> str:
    text = (_TEXTS / f"{protocol}.md").read_text(encoding="utf-8")
    cautions = [
        (_TEXTS / "cautions" / f"{caution}.md").read_text(encoding="utf-8").rstrip()
        for caution in (*_CAUTIONS[protocol], "everyone")
    ]
    return Template(text).substitute(figures) + "\n".join(("\n## Cautions\n", *cautions)) + "\n"
