"""Grading without names: photos in a shuffled order, one after the other.

In:  the photos and graded runs of a bench, a grader.
Out: grades as rows, and how far graders agree; whose photo it was is said at the end.

Where to look::

    photos  which photos there are to grade, and which cannot be
    sitting one grader at one protocol, from the first photo to the rows
"""

from __future__ import annotations

from trialpress.desk.grading.photos import (
    GradingOffer,
    NothingToGradeError,
    PhotoToGrade,
    offers,
    photos_to_grade,
)
from trialpress.desk.grading.sitting import Sitting, agreements, grades_of

__all__ = [
    "GradingOffer",
    "NothingToGradeError",
    "PhotoToGrade",
    "Sitting",
    "agreements",
    "grades_of",
    "offers",
    "photos_to_grade",
]
