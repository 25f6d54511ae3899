"""The bench days: for whom, with which protocols, in what air.

In:  nothing.
Out: one row a day, how many runs a set-up gets, and the rows of ``conditions.csv``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from demo.protocols import TRUTHS
from demo.rows import Condition
from demo.text_table import read_rows
from demo.true_means import SETUP_TRUTHS


@dataclass(frozen=True)
class BenchDay:
    """One day at the bench: whom it was for, what was run, and the air in the hall."""

    folder: str
    batches: str
    protocols: str
    again: str
    starts: str
    temp_c: str
    rh_pct: str

    @property
    def date(self) -> str:
        """The folder's date."""
        return self.folder[:10]

    @property
    def opens(self) -> datetime:
        """When the first run began, or thereabouts where no times were noted."""
        return datetime.fromisoformat(f"{self.date}T{self.starts or '09:00'}")


# The reference machine is run on every day besides. Again: set-ups that are run once more.
# Blank starts: only the date was noted.
DAYS = read_rows(
    BenchDay,
    """
    folder           | batches | protocols          | starts | temp_c | rh_pct
    2024-09-14-hall  | a       | deep-rug carpet    |        | 21.4   | 52
    2024-09-21-hall  | a       | crevices crumbs    | 08:50  | 20.9   | 49
    2024-09-28-porch | a       | hair noise runtime | 09:10  | 18.2   | 55
    2024-11-02-hall  | b       | deep-rug carpet    | 08:40  | 19.6   | 47
    2024-11-09-hall  | b       | crevices crumbs    | 08:45  | 19.1   | 45
    2024-11-16-porch | b       | hair noise runtime | 09:20  | 17.5   | 48
    2025-01-18-hall  | c       | deep-rug carpet    | 08:35  | 19.0   | 38
    2025-01-25-hall  | c       | crevices crumbs    | 08:40  | 18.8   | 37
    2025-02-01-porch | c       | hair stain noise runtime | 08:30 | 17.9 | 40
    2025-03-15-hall  | d       | deep-rug carpet    | 08:45  | 19.7   | 42
    2025-03-22-hall  | d       | crevices crumbs    | 08:50  | 20.3   | 44
    2025-03-29-porch | d       | hair noise runtime | 09:05  | 18.9   | 46
    2025-06-07-hall  | e       | deep-rug carpet    | 08:30  | 25.8   | 74
    2025-06-14-hall  | e       | crevices crumbs    | 08:40  | 23.1   | 58
    2025-06-21-porch | e       | hair stain noise runtime | 08:30 | 24.4 | 54
    2025-10-04-hall  | a b     | deep-rug           | 08:40  | 20.1   | 50
    2025-10-05-hall  | c d     | deep-rug           | 09:00  | 20.3   | 51
    2025-10-11-hall  | e       | deep-rug           | 10:15  | 19.8   | 49
    2025-11-08-hall  | f       | deep-rug carpet    | 08:40  | 19.5   | 46
    2025-11-15-hall  | f       | crevices crumbs    | 08:40  | 19.2   | 44
    2025-11-22-porch | f       | hair noise runtime | 09:00  | 17.8   | 45
    2026-02-07-hall  | g       | deep-rug carpet    | 18:30  | 18.7   | 39
    2026-02-14-hall  | g       | crevices crumbs    | 08:50  | 18.9   | 38
    2026-02-21-porch | g       | hair stain noise runtime | 08:30 | 18.1 | 41
    2026-05-02-hall  | h       | deep-rug carpet    | 09:00  | 20.6   | 48
    2026-05-09-hall  | h       | crevices crumbs    | 08:45  | 21.2   | 50
    2026-05-16-porch | h       | hair stain noise runtime | 08:40 | 21.0 | 52
    2026-08-29-hall  | i       | deep-rug carpet    | 12:30  | 23.6   | 57
    2026-09-12-hall  | i       | crevices crumbs    | 13:40  | 21.9   | 53
    2026-10-03-porch | i       | hair noise runtime | 13:15  | 19.4   | 51
    2026-10-10-hall  |         | deep-rug carpet    | 09:00  | 20.2   | 50
    """,
    """
    folder           | again
    2024-09-14-hall  |
    2024-09-21-hall  |
    2024-09-28-porch |
    2024-11-02-hall  | torvek-60-stock hofta-520-turbo
    2024-11-09-hall  |
    2024-11-16-porch | torvek-60-stock
    2025-01-18-hall  | hofta-520-turbo
    2025-01-25-hall  | vasp-30-stock
    2025-02-01-porch | vasp-30-stock
    2025-03-15-hall  | gradda-2-stock
    2025-03-22-hall  | aluen-5-stock
    2025-03-29-porch | aluen-5-stock
    2025-06-07-hall  | torvek-80-stock
    2025-06-14-hall  | vasp-50-boost mosqua-1-stock
    2025-06-21-porch | aluen-5-stock mosqua-1-stock
    2025-10-04-hall  |
    2025-10-05-hall  |
    2025-10-11-hall  | torvek-60-stock torvek-80-stock hofta-520-turbo gradda-2-stock
    2025-11-08-hall  | aluen-6-bristle aluen-6-roller
    2025-11-15-hall  | aluen-6-roller mosqua-2-stock
    2025-11-22-porch | aluen-6-roller kubrit-21-stock
    2026-02-07-hall  | fenlow-9-stock torvek-80-stock
    2026-02-14-hall  | hofta-520-floor
    2026-02-21-porch | mosqua-2-stock gradda-2-stock
    2026-05-02-hall  | kelbrin-14-stock aluen-6-bristle
    2026-05-09-hall  | mosqua-2-stock vasp-50-boost
    2026-05-16-porch | mosqua-2-stock aluen-6-roller
    2026-08-29-hall  | torvek-80-stock aluen-6-bristle fenlow-9-stock hofta-520-turbo
    2026-09-12-hall  | aluen-6-roller mosqua-3-stock
    2026-10-03-porch | aluen-6-roller fenlow-9-stock
    2026-10-10-hall  | torvek-80-stock aluen-6-bristle fenlow-9-stock ilvane-1-stock
    """,
)

# Valid runs where a set-up got another number of them than planned, by set-up and protocol.
_OTHER_NUMBERS = {
    ("kubba-8-stock", "deep-rug"): 1,
    ("nibb-200-stock", "deep-rug"): 5,
    ("immel-1-stock", "crevices"): 2,
    ("lanke-7-stock", "hair"): 1,
    ("snutt-stock", "hair"): 2,
    ("frasa-12-stock", "deep-rug"): 2,
    ("velloq-1100-stock", "deep-rug"): 5,
    ("kubrit-31-wash-mop", "stain"): 2,
    ("aluen-2-stock", "crumbs"): 5,
    **{("ilvane-r-stock", protocol): 1 for protocol in TRUTHS},
}
_RUNS_AGAIN = 2


def runs_wanted(day: BenchDay, protocol: str) -> dict[str, int]:
    """Valid runs that each set-up is to get under one protocol on one day."""
    new = {
        s.setup: _OTHER_NUMBERS.get((s.setup, protocol), TRUTHS[protocol].runs)
        for s in SETUP_TRUTHS.values()
        if s.batch in day.batches.split()
    }
    wanted = new | dict.fromkeys(day.again.split(), _RUNS_AGAIN)
    return {s: runs for s, runs in wanted.items() if protocol in SETUP_TRUTHS[s].true_means}


def conditions_of(day: BenchDay) -> tuple[Condition, ...]:
    """The air in the hall at the start and four hours later, warmer and drier by then."""
    temp_c, rh_pct = float(day.temp_c), int(day.rh_pct)
    return tuple(
        Condition(
            at=(day.opens + timedelta(hours=hours)).isoformat(timespec="minutes"),
            temp_c=f"{temp_c + 0.3 * hours:.1f}",
            rh_pct=f"{rh_pct - hours // 2}",
            instrument="hygrometer",
        )
        for hours in (0, 4)
    )
