"""Grading without names: what there is, the next photo, a grade, and at the end the names.

In:  JSON from the page of this session; the number of a photo.
Out: JSON, and photos without anything but their pixels; at the end rows in their days' files.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from urllib.parse import parse_qs

from trialpress.bench import Bench
from trialpress.desk.grading import Sitting, agreements, grades_of, offers, photos_to_grade
from trialpress.desk.grading.sitting import GradeError
from trialpress.desk.preview.pages import Json, Question, Reading
from trialpress.desk.preview.questions import BenchSheet
from trialpress.desk.preview.site_files import TYPES, Answer
from trialpress.errors import TrialpressError
from trialpress.intake import FaultyBenchError, read_bench
from trialpress.measure.agreement import FEWEST_FOR_INTERVAL, Agreement
from trialpress.site.photos import bare_photo
from trialpress.words import figures

MOST_SITTINGS = 20
NOT_FOUND = Answer(404, TYPES[".txt"], b"There is no such photo.")


@dataclass
class GradingPage:
    """Answers for one preview; rows are judged and kept as the bench sheet keeps its own."""

    sheet: BenchSheet
    _sittings: dict[str, Sitting] = field(default_factory=dict)

    @property
    def questions(self) -> Mapping[str, Question]:
        """What the page may ask, by the last part of the address."""
        return {
            "offer": lambda _: {"protocols": [asdict(one) for one in offers(self._bench)]},
            "begin": self.begin,
            "grade": self.grade,
            "finish": self.finish,
        }

    @property
    def readings(self) -> Mapping[str, Reading]:
        """What the page gets: its photos."""
        return {"photo": self.photo}

    @property
    def _bench(self) -> Bench:
        return self.sheet.watcher.bench

    def begin(self, sent: object) -> Json:
        """A new sitting: how many photos there are, and none of their names."""
        grader, protocol, version = (_text(sent, key) for key in ("grader", "protocol", "version"))
        photos = photos_to_grade(self._bench, protocol, version, grader)
        sitting = Sitting.begun(grader, protocol, version, photos)
        while len(self._sittings) >= MOST_SITTINGS:
            del self._sittings[next(iter(self._sittings))]
        self._sittings[sitting.name] = sitting
        return {"sitting": sitting.name, "photos": len(photos)}

    def photo(self, query: str) -> Answer:
        """The pixels of one photo."""
        asked = {key: values[0] for key, values in parse_qs(query).items()}
        number = asked.get("number", "")
        sitting = self._sittings.get(asked.get("sitting", ""))
        if sitting is None or not number.isdecimal() or len(number) > len(str(MOST_SITTINGS**4)):
            return NOT_FOUND
        try:
            photo = sitting.photo(int(number))
            return Answer(200, TYPES[".jpg"], bare_photo(photo.file, self._bench.days / photo.day))
        except (GradeError, OSError):
            return NOT_FOUND

    def grade(self, sent: object) -> Json:
        """One grade noted; nothing is written yet."""
        sitting = self._sitting(sent)
        sitting.take(_number(sent, "number"), _number(sent, "grade"))
        return {"left": len(sitting.photos) - len(sitting.grades)}

    def finish(self, sent: object) -> Json:
        """Write the runs that are graded whole; whose they were, and how far graders agree."""
        sitting = self._sitting(sent)
        kept, refused = list[Json](), list[Json]()
        for draft in sitting.drafts():
            try:
                self.sheet.keep(draft)
            except TrialpressError as error:
                refused.append({"run": draft.run, "why": str(error)})
            else:
                grades = ", ".join(f"{row['zone']} {row['grade']}" for row in draft.rows)
                setup = self._setup_name(draft.rows[0]["setup"])
                kept.append({"run": draft.run, "setup": setup, "grades": grades})
        left = len({photo.run["run"] for photo in sitting.photos}) - len(kept) - len(refused)
        return {
            "kept": kept,
            "refused": refused,
            "left": left,
            "agreement": self._agreement(sitting),
        }

    def _agreement(self, sitting: Sitting) -> list[str]:
        """How far this grader agrees with each other one, grades as corrected."""
        try:
            checked = read_bench(self._bench, None)
        except FaultyBenchError:
            return ["The data have faults, so that no agreement can be worked out."]
        confidence = checked.settings.confidence
        grades = grades_of(checked, sitting.protocol, sitting.version)
        found = agreements(grades, sitting.grader, confidence)
        return [_in_words(other, found[other], confidence) for other in found] or [
            "Nobody else has graded these zones yet, so there is no agreement to tell of."
        ]

    def _setup_name(self, setup: str) -> str:
        choices = self.sheet.watcher.choices
        names = {one.setup: one.name for one in choices.setups} if choices is not None else {}
        return names.get(setup, setup)

    def _sitting(self, sent: object) -> Sitting:
        sitting = self._sittings.get(_text(sent, "sitting"))
        if sitting is None:
            raise GradeError("This sitting is over: begin it again, its photos are still there")
        return sitting


def _text(sent: object, key: str) -> str:
    text = sent.get(key) if isinstance(sent, dict) else None
    return text if isinstance(text, str) else ""


def _number(sent: object, key: str) -> int:
    number = sent.get(key) if isinstance(sent, dict) else None
    if type(number) is not int:
        raise GradeError("What was sent is no grade")
    return number


def _in_words(other: str, agreement: Agreement, confidence: float) -> str:
    zones = figures.count(agreement.zones, "zone", "zones")
    if math.isnan(agreement.kappa):
        return f"With {other}: both gave one grade to all of {zones}, which tells nothing."
    words = f"With {other}: weighted kappa {agreement.kappa:.2f} over {zones}"
    if math.isnan(agreement.low) or agreement.zones < FEWEST_FOR_INTERVAL:
        return f"{words}, which are too few, or too much alike, for an interval."
    return f"{words} ({agreement.low:.2f} to {agreement.high:.2f} at {100 * confidence:g} %)."
