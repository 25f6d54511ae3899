"""The words of every code that results and analyses write, one list a column.

In:  nothing.
Out: ``LISTS``; a text may have ``{columns}`` of its row in it, and ``CONSTANTS`` fills in what is
     the same everywhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from string import Formatter

from trialpress.analyses.codes import Beware, Change, ClaimVerdict, Front, HeldAgainst, Reason, Why
from trialpress.analyses.effects import FEWEST_PAIRS
from trialpress.analyses.machines import SMALL
from trialpress.analyses.sign_flips import FEWEST_MAKERS
from trialpress.words import message, say, say_as

CONSTANTS: Mapping[str, object] = {
    "small": SMALL,
    "fewest_machines": FEWEST_PAIRS,
    "fewest_makers": FEWEST_MAKERS,
}


class Words(Mapping[str, str]):
    """Texts by their codes, each in the language that is spoken when it is looked up."""

    def __init__(self, texts: Mapping[str, str], meaning: str | None = None) -> None:
        """Keep texts that are marked as messages, or said with a meaning elsewhere."""
        self._texts = texts
        self._meaning = meaning

    def __getitem__(self, code: str) -> str:
        """The words for one code."""
        return self.filled(code)

    def filled(self, code: str, **columns: object) -> str:
        """The words for one code with the columns of its row that they mention."""
        named = {**CONSTANTS, **columns}
        if self._meaning:
            return say_as(self._meaning, self._texts[code], **named)
        return say(self._texts[code], **named)

    def mentioned(self, code: str) -> tuple[str, ...]:
        """The columns that the words for one code mention, and constants."""
        return tuple(name for _, name, _, _ in Formatter().parse(self._texts[code]) if name)

    def __iter__(self) -> Iterator[str]:
        """The codes, in the order they were given in."""
        return iter(self._texts)

    def __len__(self) -> int:
        """How many codes have words."""
        return len(self._texts)


BENCH_DRIFT = "bench-drift"
FLAGS = Words(
    {
        "over-recovered": message("over-recovered: more came back than was spread"),
        "left-above-dose": message("more stayed behind than was spread"),
        "result-implausible": message("outside what the protocol holds possible, with a reason"),
        "run-far-off": message("far from the other runs of its set-up"),
        "readings-repeated": message("the same readings as another run"),
        "empty-mass-unusual": message("unusual empty mass of the container"),
        "corrected": message("corrected"),
        "uncertainty-unknown": message("uncertainty unknown"),
        BENCH_DRIFT: message("bench out of line: the reference machine read unusually on that day"),
    }
)
SHORT_FLAGS = Words(
    {
        "over-recovered": message("over-recovered"),
        "result-implausible": message("with a reason"),
        "run-far-off": message("far from its others"),
        "readings-repeated": message("readings as in another run"),
        "empty-mass-unusual": message("unusual container"),
        BENCH_DRIFT: message("bench out of line"),
    }
)
"""Flags whose words say more than there is room for beside a number."""
SIGNALS = Words(
    {
        "beyond-limits": message("beyond the limits"),
        "moving-average": message("moving average beyond its limits"),
        "two-of-three-beyond-2-sigma": message("two of three runs far to one side"),
        "four-of-five-beyond-1-sigma": message("four of five runs to one side"),
        "eight-on-one-side": message("eight runs in a row on one side"),
    }
)
ACQUIRED = Words(
    {
        # For translators: how a machine came to the bench.
        "bought": message("bought by the bench"),
        # For translators: how a machine came to the bench.
        "loaned": message("on loan"),
        # For translators: how a machine came to the bench.
        "gifted": message("a gift"),
        # For translators: how a machine came to the bench.
        "sponsored": message("sponsored"),
    }
)
READINGS = Words(
    {
        "collected": message("mass the machine collected, as a share of the mass spread"),
        "left": message("mass no longer on the floor, as a share of the mass spread"),
        "graded": message("share of zones graded clean"),
        "value": message("a value as read"),
        "count": message("hits as a share of tries"),
    }
)
WHY = Words(
    {
        "no-repeats": message("no set-up has two valid runs under this protocol"),
        "all-alike": message(
            "beside what days add, the runs of a set-up do not scatter at all, and the error of "
            "their readings is not known"
        ),
        "out-of-range": message(
            "its values are too large or too small to reckon with; another unit would help"
        ),
        "too-few-floors": message("there are too few floors for a best overall"),
        "mean-not-above-0": message(
            "a mean of 0 or less in one of the protocols makes the overall 0"
        ),
        "mean-near-0": message(
            "a mean in one of the protocols is so near to 0 that the overall has no interval"
        ),
        "no-repeats-in-a-part": message(
            "one of the protocols has no set-up with two valid runs, so there is no interval"
        ),
        "all-planned": message("its runs are planned, none has been made"),
        "all-void": message("all its runs are void"),
        "none-valid": message("its runs are void or still planned"),
        Why.UNIT_UNKNOWN: message("its unit is not known"),
        Why.NOT_MEASURED_HERE: message("this bench does not measure it"),
        Why.NOT_MEASURED_AS_UNBOXED: message("the machine was not measured as unboxed"),
        Why.SETUP_NOT_MEASURED: message("the set-up it is about was not measured"),
        Why.MEASURED_UNIT_UNKNOWN: message("the unit of the measurement is not known"),
        Why.OTHER_DIMENSION: message("it is measured in a unit of another kind"),
        Why.TWO_MAXIMA: message(
            "suction and airflow are separate greatest figures: suction is stated with the opening "
            "closed, airflow with it open, and no machine gives both at once"
        ),
        Why.NO_PRICE: message("no price is known"),
        Why.OTHER_CURRENCY: message("its price is in {currency}, and none is converted"),
        Why.NO_CURRENCY: message("its price is in no stated currency, and none is converted"),
        Why.TOO_FEW_MACHINES: message("fewer than {fewest_machines} machines can be compared"),
        Why.TOO_FEW_FOR_INTERVAL: message("there are too few machines for an interval"),
        Why.ALL_ALIKE: message("all machines are alike in it or in their results"),
        Why.ONE_GROUP: message("there are not two groups to compare"),
        Why.SAME_WITHIN_KINDS: message("machines of one kind do not differ in it"),
        Why.ONE_MAKER_DECIDES: message("without one of the makers there is nothing to compare"),
        Why.IN_ONE_ORDER: message("all are in one order, which has no interval"),
        Why.SHARE_WITHOUT_INTERVAL: message(
            "machines of one maker depend on each other, so that a share has no interval"
        ),
        Why.NO_OTHER_OF_ITS_KINDS: message("there is no other machine of its kind"),
        Why.NONE_AS_UNBOXED: message("none of its set-ups is as unboxed"),
        Why.NO_RUN: message("the set-up has no valid run in this series"),
        Why.NO_RUN_OF_OTHER: message("the other set-up has no valid run in this series"),
        Why.HAD_FAULTS: message(
            "the data as they stood then had faults, so that nothing could be published"
        ),
    }
)
"""Why there is no figure; of the analyses, the words follow "as"."""
WARNINGS = Words(
    {
        Beware.FEW_MACHINES: message("fewer than {small} machines"),
        Beware.ONE_MAKER: message("all of one maker, {only_maker}"),
        Beware.ONE_KIND: message("all of one kind, {only_kind}"),
        Beware.FEW_MAKERS: message(
            "machines of fewer than {fewest_makers} makers, too few to tell anything"
        ),
        Beware.SMALL_GROUPS: message(
            "{groups_small} of {groups} groups with fewer than {small} machines"
        ),
        Beware.GROUPS_OF_ONE_MAKER: message(
            "{groups_of_one_maker} of {groups} groups with machines of one maker only"
        ),
    }
)
"""What to beware of; follows "Beware"."""
KINDS = Words(
    {
        "robot": message("robot"),
        # For translators: a kind of machine: a slim one with a battery, held by its handle.
        "stick": message("stick"),
        "canister": message("canister"),
        # For translators: a kind of machine: one whose motor stands over its head.
        "upright": message("upright"),
        "handheld": message("handheld"),
        "wet-dry": message("wet-dry"),
    }
)
"""Kinds of machines that are known; others are words of the bench's own."""
FACTORS = Words(
    {
        # For translators: the part of a machine that goes over the floor.
        "head": message("head"),
        # For translators: the part of a machine that wipes the floor.
        "mop": message("mop"),
        "kind": message("kind of machine"),
        "price-band": message("price band"),
        "price": message("price"),
        "released-year": message("year of release"),
    }
)
"""What machines differ in."""
EFFECTS = Words(
    {
        "eta squared": message("eta squared"),
        # For translators: the Greek letter, for Spearman's rank correlation.
        "rho": message("rho"),
    }
)
PARTS = Words(
    {
        "brushes": message("brushes"),
        "mode": message("mode"),
        # For translators: how a machine was moved over the floor.
        "pattern": message("pattern"),
        # For translators: of the lanes in which a machine was moved over the floor.
        "overlap": message("overlap"),
        "water": message("water"),
        "firmware": message("firmware"),
        # For translators: which one of its kind a machine is.
        "specimen": message("specimen"),
    }
)
"""What two set-ups of a machine can differ in."""
VERDICTS = Words(
    {
        # For translators: of a claim that a maker states.
        ClaimVerdict.KEPT: message("kept"),
        # For translators: of a claim that a maker states.
        ClaimVerdict.NOT_KEPT: message("not kept"),
        ClaimVerdict.CANNOT_TELL: message("cannot tell"),
    }
)
"""Whether the specimen measured keeps a claim."""
HELD_AGAINST = Words(
    {
        HeldAgainst.STATED: message("the set-up it is about"),
        HeldAgainst.AS_UNBOXED: message("the one set-up as unboxed"),
        HeldAgainst.MOST_FAVOURABLE: message("the most favourable set-up as unboxed"),
    }
)
FRONTS = Words(
    {
        # For translators: by a set-up at the same price or less.
        Front.CERTAIN: message("unbeaten"),
        Front.POSSIBLE: message("cannot tell"),
        # For translators: by a set-up at the same price or less.
        Front.BEATEN: message("beaten"),
    }
)
"""Whether anybody is better at the same price or less."""
MOVED = Words(
    {
        Reason.NEW_SERIES: message("the series is new"),
        Reason.PROTOCOL_CHANGE: message("a new version of the protocol joined the series"),
        Reason.NEW_RUNS: message("new runs of its own"),
        Reason.CORRECTION: message("runs of its own corrected"),
        Reason.NEW_COMPETITOR: message("newcomers before it"),
        Reason.OTHERS_MOVED: message("others changed sides with it"),
    }
)
"""Why a place is another."""
CHANGES = Words(
    {
        # For translators: of a place: it was in none before.
        Change.NEW: message("new"),
        # For translators: of a place: a better one.
        Change.UP: message("up"),
        # For translators: of a place: a worse one.
        Change.DOWN: message("down"),
        # For translators: of a place: the same as before.
        Change.STAYED: message("stayed"),
        # For translators: of a place: it has none any longer.
        Change.GONE: message("gone"),
    }
)
"""What became of a place."""
STUDY_CASES = Words(
    {
        "three-runs": message("three runs each, all equally noisy"),
        "two-runs": message("two runs each, all equally noisy"),
        "mixed": message("one to five runs each, all equally noisy"),
        "singles": message("every second one on one run"),
        "threefold": message("a threefold range of noise"),
        "one-noisy": message("one four times noisier"),
        "own-days-0": message("each on its own day, days alike"),
        "own-days-0.5": message("each on its own day, days differing half as much as runs do"),
        "own-days-1": message("each on its own day, days differing as much as runs do"),
        "shared-days-1": message("all on the same three days, which differ as much as runs do"),
        "sittings-0": message("three runs on each of three shared days, sittings alike"),
        "sittings-0.5": message(
            "three runs on each of three shared days, sittings differing half as much as runs do"
        ),
        "sittings-1": message(
            "three runs on each of three shared days, sittings differing as much as runs do"
        ),
        "counts-days-0": message("counts on three shared days, days alike"),
        "counts-days-1": message("counts on three shared days, which differ as much as runs do"),
        "counts-sittings-0.5": message(
            "counts on three shared days, sittings differing half as much as runs do"
        ),
        "counts-sittings-1": message(
            "counts on three shared days, sittings differing as much as runs do"
        ),
    }
)
"""Cases of the study of false separations."""
RELATIONS = Words(
    {name: name for name in ("better", "level", "cannot tell", "worse")}, meaning="verdict"
)
TOPS = Words({"certain": "in", "possible": "may be in", "out": "not in"}, meaning="top cut")
"""Both are said in ``verdicts``, beside their shapes."""
LISTS: Mapping[str, Words] = {
    "relation": RELATIONS,
    "study_case": STUDY_CASES,
    "top": TOPS,
    "why": WHY,
    "warning": WARNINGS,
    "kind": KINDS,
    "factor": FACTORS,
    "effect_name": EFFECTS,
    "differs": PARTS,
    "verdict": VERDICTS,
    "held_against": HELD_AGAINST,
    "front": FRONTS,
    "change": CHANGES,
    "moved": MOVED,
    "flags": FLAGS,
    "signals": SIGNALS,
    "acquired": ACQUIRED,
    "reading": READINGS,
}
"""All lists, by the columns that hold their codes; ``moved`` is ``why`` of ``movements``."""
