"""The bench sheet's questions: what is there to run, what would this row be, keep it.

In:  JSON from the page of this session.
Out: JSON; a row in tonight's day folder, on the disk before the page is told so.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field

from trialpress.desk.append import MOST_TRIES, ChangingFileError
from trialpress.desk.preview.draft import Draft, DraftError, read_draft
from trialpress.desk.preview.filling import fill
from trialpress.desk.preview.offer import Wish, begin
from trialpress.desk.preview.verdict import Verdict, judge
from trialpress.desk.preview.watching import Snapshot, snapshot
from trialpress.desk.preview.workshop import Workshop
from trialpress.desk.replacing import replace_unchanged
from trialpress.errors import FaultyDataError
from trialpress.intake import Severity
from trialpress.lock import locked

Json = Mapping[str, object]


class NotYetError(FaultyDataError):
    """The bench could not be read without errors since the preview began."""

    def __init__(self) -> None:
        super().__init__(
            "The data have faults, so the sheet does not know what there is to run. "
            "Mend them, or wait a moment if the preview has only just begun."
        )


class RowFaultyError(FaultyDataError):
    """A row that would stop the build is not written."""

    def __init__(self, verdict: Verdict) -> None:
        faults = [f for f in verdict.findings if f.severity is Severity.ERROR]
        told = " ".join(f"{fault.column or 'row'}: {fault.problem}." for fault in faults)
        super().__init__(f"Nothing was written. {told} Mend it, or void the run with a reason.")


@dataclass
class Sheet:
    """Answers for one preview; one question that writes at a time."""

    workshop: Workshop
    _writing: threading.Lock = field(default_factory=threading.Lock)
    _judged: tuple[Draft, Snapshot, Verdict] | None = None

    @property
    def questions(self) -> Mapping[str, Callable[[object], Json]]:
        """What the page may ask, by the last part of the address."""
        return {"offer": self.offer, "begin": self.begin, "judge": self.judge, "keep": self.keep}

    def offer(self, _: object) -> Json:
        """Everything there is to choose from."""
        offer = self.workshop.offer
        if offer is None:
            raise NotYetError
        return asdict(offer)

    def begin(self, sent: object) -> Json:
        """The rows of a run that was not planned."""
        look, offer = self.workshop.look, self.workshop.offer
        if look is None or offer is None:
            raise NotYetError
        return asdict(begin(look, offer, _wish(sent)))

    def judge(self, sent: object) -> Json:
        """What a draft would be as a run."""
        verdict = self._verdict(read_draft(sent))
        return {
            "value": verdict.value,
            "uncertainty": verdict.uncertainty,
            "others": verdict.others,
            "is_far": verdict.is_far,
            "without_value": verdict.without_value,
            "may_be_kept": verdict.may_be_kept,
            "findings": [finding.as_json() for finding in verdict.findings],
        }

    def keep(self, sent: object) -> Json:
        """Write a draft's rows, unless they would stop the build; to keep one twice is no fault."""
        draft = read_draft(sent)
        bench = self.workshop.bench
        with self._writing, locked(bench):
            for _ in range(MOST_TRIES):
                verdict = self._verdict(draft)
                if not verdict.may_be_kept:
                    raise RowFaultyError(verdict)
                filled = fill(draft.file(bench), draft)
                if not filled.is_new or replace_unchanged(filled.file, filled.before, filled.data):
                    name = bench.name_of(filled.file)
                    return {"file": name, "row": min(filled.rows), "was_new": filled.is_new}
            raise ChangingFileError(filled.file)

    def _verdict(self, draft: Draft) -> Verdict:
        """Judge, unless the same draft was judged and no file was saved since."""
        workshop, now = self.workshop, snapshot(self.workshop.bench)
        last = self._judged
        if last is not None and last[:2] == (draft, now):
            return last[2]
        clock = workshop.now() if workshop.now else None
        verdict = judge(workshop.bench, draft, workshop.findings, clock)
        self._judged = (draft, now, verdict)
        return verdict


def _wish(sent: object) -> Wish:
    if not isinstance(sent, dict):
        raise DraftError("What was sent is no run")
    day, setup, protocol, version = (
        sent.get(name) for name in ("day", "setup", "protocol", "version")
    )
    if not isinstance(version, int) or not all(isinstance(s, str) for s in (day, setup, protocol)):
        raise DraftError("What was sent is no run")
    return Wish(str(day), str(setup), str(protocol), version)
