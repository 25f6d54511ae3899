"""Every word of the charts: titles, text alternatives, captions and keys.

In:  figures already rounded to their published digits, and what a chart is of.
Out: text. What a single mark says is worded in ``reading``.
"""

from __future__ import annotations

from trialpress.words import figures

PLACES_HEADING = "Places the runs\ndo not rule out"
FEW_RUNS_KEY = "open: fewer runs than asked for"
ONE_RUN_KEY = "dashed: on one run"
REST_OF_FIELD = "the rest of the field"

BARS_DO_NOT_DECIDE = (
    "Overlapping lines do not decide whether two set-ups differ; the brackets take every "
    "comparison into account."
)


def machine_name(maker: str, machine: str) -> str:
    """A machine in one phrase."""
    return f"{maker} {machine}"


def set_up_name(maker: str, machine: str, label: str) -> str:
    """A set-up in one phrase."""
    return f"{machine_name(maker, machine)}, {label}"


def set_up_of_maker(machine: str, label: str) -> str:
    """A set-up in one phrase, where its maker is known already."""
    return f"{machine}, {label}"


def top_cut(top_n: int) -> str:
    """The first places, in a word."""
    return f"top {top_n}"


def top_cut_key(top_n: int) -> str:
    """What the tinted places are."""
    return f"tinted: the {top_cut(top_n)}"


def value_heading(unit: str, better: str, confidence: float) -> str:
    """What the first panel of a ladder shows, in two lines."""
    return f"Mean and {figures.percent(confidence)} interval,\n{unit_and_direction(unit, better)}"


def unit_and_direction(unit: str, better: str) -> str:
    """What a value is in, and which way is better."""
    return f"in {unit} ({better} is better)"


def overall_heading(confidence: float) -> str:
    """What the first panel of the overall ladder shows, in two lines."""
    return f"Mean of all series and\n{figures.percent(confidence)} interval, in %"


def apart(version: int | None, protocol: str | None) -> str:
    """What tells an earlier series, or one of two with the same title, from others."""
    return (f", version {version}" if version else "") + (f", {protocol}" if protocol else "")


def standings_title(series: str, version: int | None) -> str:
    """Title of the ladder of one series, of the version given where it is an earlier one."""
    return f"{series}{apart(version, None)}: values and places"


OVERALL_TITLE = "Overall: values and places"


def machine_title(machine: str) -> str:
    """Title of the chart with every run of one machine."""
    return f"{machine}: every run"


def maker_title(maker: str) -> str:
    """Title of the chart that sets one maker's set-ups against the others."""
    return f"{maker} in the field"


def ladder_description(first: str, value: str, counts: tuple[int, int, int], top_n: int) -> str:
    """Text alternative of a ladder; ``counts`` are set-ups in all, certain, possible."""
    total, certain, possible = counts
    return (
        f"{_set_ups(total)}, first {first} with {value}. In the {top_cut(top_n)}: "
        f"{certain} for certain, {possible} possibly."
    )


def machine_description(machine: str, runs: int, series: int) -> str:
    """Text alternative of the chart with every run of one machine."""
    return (
        f"Every valid run of {machine}, {runs} in {series} series, as one circle each, "
        "with the mean and its interval."
    )


def maker_description(maker: str, set_ups: int, series: int) -> str:
    """Text alternative of the chart that sets one maker against the others."""
    return (
        f"The {_set_ups(set_ups)} of {maker} in {series} series, each with its mean and interval, "
        "above the means of all other set-ups."
    )


def ladder_caption(confidence: float, top_n: int) -> str:
    """How to read a ladder."""
    return (
        f"Left, each set-up's mean with its {figures.percent(confidence)} interval; right, as a bracket, "
        "every place that its runs do not rule out, with the "
        f"{top_cut(top_n)} tinted. {BARS_DO_NOT_DECIDE} Open dots have fewer runs than the "
        "method asks for, dashed lines rest on one run."
    )


def overall_caption(confidence: float, top_n: int) -> str:
    """How to read the ladder over all series."""
    return (
        f"{ladder_caption(confidence, top_n)} A set-up is marked so where one of its series is. "
        "Set-ups that miss a series have no overall place and are not drawn."
    )


def machine_caption(confidence: float) -> str:
    """How to read the chart with every run of one machine."""
    return (
        "A circle is one run. The upright mark is the mean of the set-up's runs, the line its "
        f"{figures.percent(confidence)} interval, dashed where it rests on one run. Each panel has its "
        "own scale."
    )


def maker_caption(confidence: float) -> str:
    """How to read the chart that sets one maker against the others."""
    return (
        f"A dot is a set-up's mean, the line its {figures.percent(confidence)} interval; open dots have "
        "fewer runs than the method asks for, dashed lines rest on one run. The thin marks below "
        "are the means of all other set-ups. Where lines overlap, look at the places: overlapping "
        "lines do not decide. Each panel has its own scale."
    )


def maker_pair_caption(confidence: float) -> str:
    """How to read the chart of two makers."""
    return (
        "A circle is the mean of a set-up of the maker named first, a square that of the other's, "
        f"the line its {figures.percent(confidence)} interval; open ones have fewer runs than the method "
        "asks for, dashed lines rest on one run. Where lines overlap, look at the places: "
        "overlapping lines do not decide. Each panel has its own scale."
    )


MAKER_PAIR_TITLE = "{first} and {second}"
MAKER_PAIR_DESCRIPTION = (
    "Set-ups of {first} and {second} in {series} series, each with its mean and interval: "
    "{set_ups} in all."
)


def _set_ups(number_of_set_ups: int) -> str:
    return f"{number_of_set_ups} set-up" + ("" if number_of_set_ups == 1 else "s")


EVERY_RUN = "Every run, oldest first, and its limits"
MOVING_AVERAGE = "Moving average, and its limits"
DRIFT_CAPTION = (
    "Above, a circle is one run, open where it is one of the first runs that the limits come "
    "from; the dashed lines are the limits, the thin line between them the centre. Below, the "
    "moving average follows slow changes that no single run shows. A cross in a square is out of "
    "line."
)


def drift_title(series: str, unit: str) -> str:
    """Title of the control chart of one series."""
    return f"{series}: the reference, in {unit}"


def drift_description(runs: int, out_of_line: int) -> str:
    """Text alternative of a control chart."""
    told = f"{out_of_line} of them out of line" if out_of_line else "none of them out of line"
    return f"{runs} run{'' if runs == 1 else 's'} of the reference in their order, {told}."
