"""One grader at the photos of one protocol.

In:  photos to grade, and grades as they are given.
Out: the next photo by its number alone; the rows of every run of which all zones are graded; how
     far this grader agrees with each other one.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from trialpress.desk.grading.photos import PhotoToGrade
from trialpress.desk.sheet.draft import Draft
from trialpress.errors import UsageError
from trialpress.intake import CheckedBench
from trialpress.measure.agreement import GRADES, Agreement, weighted_kappa

_SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LONGEST_NAME = 60
Grades = Mapping[str, Mapping[str, int]]
"""Each grader's grades, by run and zone."""


class GradeError(UsageError):
    """The page sent something that is no grade of one of its photos."""

    def __init__(self, problem: str) -> None:
        super().__init__(f"{problem}. Nothing was written.")


@dataclass
class Sitting:
    """What one grader was shown and said; photos are known to the page by their number."""

    grader: str
    protocol: str
    version: str
    photos: Sequence[PhotoToGrade]
    name: str = field(default_factory=lambda: secrets.token_hex(8))
    grades: dict[int, int] = field(default_factory=dict)

    @classmethod
    def begun(
        cls, grader: str, protocol: str, version: str, photos: Sequence[PhotoToGrade]
    ) -> Sitting:
        """A sitting with its photos shuffled.

        Raises
        ------
        GradeError
            If the grader's name is none that a row can hold.
        """
        if not _SLUG.fullmatch(grader) or len(grader) > LONGEST_NAME:
            raise GradeError(
                f"“{grader}” is no name for a grader: lower-case letters, digits and hyphens, ann-b"
            )
        shuffled = list(photos)
        secrets.SystemRandom().shuffle(shuffled)
        return cls(grader, protocol, version, tuple(shuffled))

    def photo(self, number: int) -> PhotoToGrade:
        """The photo of a number.

        Raises
        ------
        GradeError
            If there is none.
        """
        if not 0 <= number < len(self.photos):
            raise GradeError(f"There is no photo {number}")
        return self.photos[number]

    def take(self, number: int, grade: int) -> None:
        """Note a grade; a later one takes its place.

        Raises
        ------
        GradeError
            If there is no such photo or grade.
        """
        self.photo(number)
        if not 0 <= grade < GRADES:
            raise GradeError(f"{grade} is no grade from 0, clean, to {GRADES - 1}, heavily soiled")
        self.grades[number] = grade

    def drafts(self) -> Iterator[Draft]:
        """The rows of every run of which all zones are graded, run by run."""
        by_run: dict[tuple[str, str], list[int]] = {}
        for number, photo in enumerate(self.photos):
            by_run.setdefault((photo.day, photo.run["run"]), []).append(number)
        for (day, _), numbers in sorted(by_run.items()):
            if all(number in self.grades for number in numbers):
                ordered = sorted(numbers, key=lambda number: self.photos[number].zone)
                yield Draft(day, "gradings", tuple(self._row(number) for number in ordered))

    def _row(self, number: int) -> Mapping[str, str]:
        photo = self.photos[number]
        own = {
            "zone": photo.zone,
            "grader": self.grader,
            "grade": str(self.grades[number]),
            "status": "valid",
        }
        return {key: text for key, text in {**photo.run, **own}.items() if text}


def grades_of(checked: CheckedBench, protocol: str, version: str) -> Grades:
    """Each grader's grades as corrected, by run and zone; a void row counts nowhere."""
    found: dict[str, dict[str, int]] = {}
    for row in checked.tables["gradings"].corrected:
        cells = row.cells
        is_of_it = (cells["protocol"], str(cells["version"])) == (protocol, version)
        if is_of_it and cells["status"] == "valid":
            place = f"{cells['run']}|{cells['zone']}"
            found.setdefault(str(cells["grader"]), {})[place] = int(str(cells["grade"]))
    return found


def agreements(grades: Grades, grader: str, confidence: float) -> Mapping[str, Agreement]:
    """How far a grader agrees with each other one, over the zones that both have graded.

    Parameters
    ----------
    grades : mapping
        Each grader's grades, by run and zone.
    """
    own = grades.get(grader, {})
    found = {}
    for other, theirs in sorted(grades.items()):
        both = sorted(own.keys() & theirs.keys())
        if other != grader and both:
            pairs = np.array([(own[place], theirs[place]) for place in both], dtype=np.int64)
            found[other] = weighted_kappa(pairs[:, 0], pairs[:, 1], confidence)
    return found
