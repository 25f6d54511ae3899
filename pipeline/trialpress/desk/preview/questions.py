"""The bench sheet's questions: what is there to run, what would this row be, keep it.

In:  JSON from the page of this session.
Out: JSON; a row in tonight's day folder, on the disk before the page has its answer.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field

from trialpress.bench import Bench, Meter, Snapshot, snapshot
from trialpress.desk.append import MOST_TRIES, ChangingFileError
from trialpress.desk.meters import converted, fits, measure
from trialpress.desk.preview.kept_runs import KeptRuns
from trialpress.desk.preview.pages import Json, Question
from trialpress.desk.preview.screen import Screen
from trialpress.desk.preview.watcher import Watcher
from trialpress.desk.replacing import replace_unchanged
from trialpress.desk.sheet.assessment import Assessment, assess
from trialpress.desk.sheet.choices import Choices, RunRequest, begin
from trialpress.desk.sheet.draft import Draft, DraftError, fill, read_draft
from trialpress.errors import FaultyDataError
from trialpress.intake import Severity
from trialpress.lock import locked

_MARK = re.compile("[0-9a-f]{32}")


class NotYetError(FaultyDataError):
    """The bench could not be read without errors since the preview began."""

    def __init__(self) -> None:
        super().__init__(
            "The data have faults, so the sheet does not know what there is to run. "
            "Mend them, or wait a moment if the preview has only just begun."
        )


class RowFaultyError(FaultyDataError):
    """A row that would stop the build is not written."""

    def __init__(self, assessment: Assessment) -> None:
        faults = [f for f in assessment.findings if f.severity is Severity.ERROR]
        problems = " ".join(f"{fault.column or 'row'}: {fault.problem}." for fault in faults)
        super().__init__(f"Nothing was written. {problems} Mend it, or void the run with a reason.")


@dataclass
class BenchSheet:
    """Answers for one preview; one question that writes at a time."""

    watcher: Watcher
    _writing: threading.Lock = field(default_factory=threading.Lock)
    _measuring: threading.Lock = field(default_factory=threading.Lock)
    _last: tuple[Draft, Snapshot, Assessment] | None = None
    _answers: dict[str, tuple[Draft, Json]] = field(default_factory=dict)
    screen: Screen = field(init=False)
    kept: KeptRuns = field(init=False)

    def __post_init__(self) -> None:
        """Let the screen at the bench hear what is typed."""
        self.screen = Screen(self.watcher)
        self.kept = KeptRuns(self.watcher.bench)

    @property
    def questions(self) -> Mapping[str, Question]:
        """What the page may ask, by the last part of the address."""
        return {
            "offer": self.choices,
            "begin": self.begin,
            "judge": self.assess,
            "keep": lambda sent: self.keep(read_draft(sent), _mark_in(sent)),
            "gone": self.gone,
            "put-back": lambda sent: self.keep(self.kept.draft(_run_in(sent))),
            "let-go": self.let_go,
            "measure": self.measure,
        }

    def choices(self, _: object) -> Json:
        """Everything there is to choose from."""
        choices = self.watcher.choices
        if choices is None:
            raise NotYetError
        return {**asdict(choices), "meters": self._meters(choices)}

    def measure(self, sent: object) -> Json:
        """One reading of a meter, in the unit of the field it is for."""
        asked = sent if isinstance(sent, dict) else {}
        meter = next((m for m in self._known_meters() if m.name == asked.get("meter")), None)
        unit = asked.get("unit")
        if meter is None or not isinstance(unit, str) or not fits(meter, unit):
            raise DraftError("There is no such meter for this field")
        with self._measuring:
            reading = measure(meter)
        return {
            "value": converted(reading, unit),
            "line": reading.line,
            "instrument": meter.instrument,
        }

    def _known_meters(self) -> Sequence[Meter]:
        state = self.watcher.state
        return state.checked.settings.meters if state is not None and state.checked else ()

    def _meters(self, choices: Choices) -> Mapping[str, Sequence[str]]:
        """The meters that can fill a field, by the field's unit."""
        units = {field.unit for fields in choices.columns.values() for field in fields}
        units |= {method.unit for method in choices.methods}
        meters = self._known_meters()
        return {
            unit: [meter.name for meter in meters if fits(meter, unit)]
            for unit in sorted(unit for unit in units if unit)
        }

    def begin(self, sent: object) -> Json:
        """The rows of a run that was not planned."""
        state, choices = self.watcher.state, self.watcher.choices
        if state is None or choices is None:
            raise NotYetError
        return asdict(begin(state, choices, _request(sent)))

    def assess(self, sent: object) -> Json:
        """What a draft would be as a run."""
        draft = read_draft(sent)
        self.screen.hear(draft)
        assessment = self._assessment(draft)
        self.screen.hear(draft, assessment)
        return {
            "value": assessment.value,
            "uncertainty": assessment.uncertainty,
            "others": assessment.others,
            "is_far": assessment.is_far,
            "without_value": assessment.without_value,
            "may_be_kept": assessment.may_be_kept,
            "findings": [finding.as_json() for finding in assessment.findings],
        }

    def gone(self, _: object) -> Json:
        """The runs kept here that another program has written over since."""
        gone = self.kept.gone().items()
        return {"runs": [{"run": run, "file": self._bench.name_of(file)} for run, file in gone]}

    def let_go(self, sent: object) -> Json:
        """Ask no more about a run that is gone on purpose."""
        self.kept.forget(_run_in(sent))
        return self.gone(sent)

    @property
    def _bench(self) -> Bench:
        return self.watcher.bench

    def keep(self, draft: Draft, mark: str | None = None) -> Json:
        """Write a draft's rows, unless they would stop the build; to keep one twice is no fault.

        What was kept under a mark is answered as it was, whatever became of its rows since: a page
        that had no answer sends it again.
        """
        with self._writing:
            if mark is not None and mark in self._answers:
                kept, answer = self._answers[mark]
                if kept != draft:
                    raise DraftError("Another run was sent under the same mark")
                return answer
            answer = self._write(draft)
            if mark is not None:
                self._answers[mark] = (draft, answer)
            return answer

    def _write(self, draft: Draft) -> Json:
        bench = self._bench
        with locked(bench):
            for _ in range(MOST_TRIES):
                assessment = self._assessment(draft)
                if not assessment.may_be_kept:
                    raise RowFaultyError(assessment)
                filled = fill(draft.file(bench), draft)
                if not filled.is_new or replace_unchanged(filled.file, filled.before, filled.data):
                    self.kept.remember(draft)
                    name = bench.name_of(filled.file)
                    return {"file": name, "row": min(filled.rows), "was_new": filled.is_new}
            raise ChangingFileError(filled.file)

    def _assessment(self, draft: Draft) -> Assessment:
        """Judge, unless the same draft was judged and no file was saved since."""
        watcher, now = self.watcher, snapshot(self.watcher.bench)
        last = self._last
        if last is not None and last[:2] == (draft, now):
            return last[2]
        clock = watcher.now() if watcher.now else None
        assessment = assess(
            watcher.bench, draft, watcher.findings, clock, hidden=self.screen.hidden
        )
        self._last = (draft, now, assessment)
        return assessment


def _mark_in(sent: object) -> str | None:
    """The mark that a page made once for what it sends; None where it made none."""
    mark = sent.get("mark") if isinstance(sent, dict) else None
    if mark is not None and not (isinstance(mark, str) and _MARK.fullmatch(mark)):
        raise DraftError("What was sent has a mark that is none")
    return mark


def _run_in(sent: object) -> object:
    return sent.get("run") if isinstance(sent, dict) else None


def _request(sent: object) -> RunRequest:
    if not isinstance(sent, dict):
        raise DraftError("What was sent is no run")
    day, setup, protocol, version = (
        sent.get(name) for name in ("day", "setup", "protocol", "version")
    )
    if not isinstance(version, int) or not all(isinstance(s, str) for s in (day, setup, protocol)):
        raise DraftError("What was sent is no run")
    return RunRequest(str(day), str(setup), str(protocol), version)
