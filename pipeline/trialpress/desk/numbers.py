"""The replicate numbers of runs, continued without gaps.

In:  the runs of a bench.
Out: the next number of a set-up in a protocol version.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from trialpress.bench import READING_TABLES
from trialpress.intake import CheckedBench


@dataclass(frozen=True)
class Replicates:
    """The highest number so far, by set-up, protocol and version."""

    highest: Counter[tuple[str, str, str]]

    def next_of(self, cells: Mapping[str, str]) -> str:
        """The next number of the set-up and protocol version in ``cells``, now taken."""
        cell = (cells["setup"], cells["protocol"], cells["version"])
        self.highest[cell] += 1
        return str(self.highest[cell])


def replicates_so_far(checked: CheckedBench) -> Replicates:
    """The numbers that planned and valid runs hold; a void run leaves its own to another."""
    highest: Counter[tuple[str, str, str]] = Counter()
    for table in READING_TABLES:
        frame = checked.tables[table].corrected
        for row in frame[frame["status"] != "void"].to_dict("records"):
            cell = (str(row["setup"]), str(row["protocol"]), str(row["version"]))
            highest[cell] = max(highest[cell], int(str(row["replicate"])))
    return Replicates(highest)
