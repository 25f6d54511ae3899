"""Every word of the charts: titles, text alternatives, captions and keys.

In:  figures already rounded to their published digits, and what a chart is of.
Out: text in the language spoken; a constant is a text that is still to be said, as no language is
     known before a build. What a single mark says is worded in ``reading``.
"""

from __future__ import annotations

from trialpress.words import figures, message, say, say_count

# For translators: two lines over a narrow column; keep each of them about as short.
PLACES_HEADING = message("Places the runs\ndo not rule out")
# For translators: in the key of a chart, of the dots; at most some 35 letters.
FEW_RUNS_KEY = message("open: fewer runs than asked for")
# For translators: in the key of a chart, of the lines; at most some 35 letters.
ONE_RUN_KEY = message("dashed: on one run")
OVERALL_TITLE = message("Overall: values and places")
MAKER_PAIR_TITLE = message("{first} and {second}")
MAKER_PAIR_DESCRIPTION = message(
    "Set-ups of {first} and {second} in {series} series, each with its mean and interval: "
    "{set_ups} in all."
)
EVERY_DAY = message("The mean of every day, and its limits")
MOVING_AVERAGE = message("Moving average, and its limits")
DRIFT_CAPTION = message(
    "Above, a circle is the mean of a day's runs, open where it is one of the first days that the "
    "limits come from; the dashed lines are the limits, the thin line between them the centre. "
    "Below, the moving average follows slow changes that no single day shows. A cross in a square "
    "is out of line."
)


def machine_name(maker: str, machine: str) -> str:
    """A machine in one phrase."""
    return f"{maker} {machine}"


def top_cut_key(top_n: int) -> str:
    """What the tinted places are."""
    # For translators: in the key of a chart, of the first places; at most some 35 letters.
    return say("tinted: the top {n}", n=top_n)


def value_heading(unit: str, better: str, confidence: float) -> str:
    """What the first panel of a ladder shows, in two lines."""
    # For translators: over a column, above "in % (higher is better)"; keep it about as short.
    shown = say("Mean and {percent} interval,", percent=figures.percent(confidence))
    return f"{shown}\n{unit_and_direction(unit, better)}"


def unit_and_direction(unit: str, better: str) -> str:
    """What a value is in, and which way is better."""
    if better == "higher":
        return say("in {unit} (higher is better)", unit=unit)
    return say("in {unit} (lower is better)", unit=unit)


def overall_heading(confidence: float, unit: str) -> str:
    """What the first panel of the overall ladder shows, in two lines."""
    # For translators: two lines over a column; keep each of them about as short.
    return say(
        "Mean of all series and\n{percent} interval, in {unit}",
        percent=figures.percent(confidence),
        unit=unit,
    )


def standings_title(series: str) -> str:
    """Title of the ladder of one series."""
    return say("{series}: values and places", series=series)


def machine_title(machine: str) -> str:
    """Title of the chart with every run of one machine."""
    return say("{machine}: every run", machine=machine)


def maker_title(maker: str) -> str:
    """Title of the chart that sets one maker's set-ups against the others."""
    return say("{maker} in the field", maker=maker)


def drift_title(series: str, unit: str) -> str:
    """Title of the control chart of one series."""
    return say("{series}: the reference, in {unit}", series=series, unit=unit)


def ladder_description(first: str, value: str, counts: tuple[int, int, int], top_n: int) -> str:
    """Text alternative of a ladder; ``counts`` are set-ups in all, certain, possible."""
    total, certain, possible = counts
    return say_count(
        "{count} set-up, first {first} with {value}. In the top {n}: {certain} for certain, "
        "{possible} possibly.",
        "{count} set-ups, first {first} with {value}. In the top {n}: {certain} for certain, "
        "{possible} possibly.",
        total,
        first=first,
        value=value,
        n=top_n,
        certain=certain,
        possible=possible,
    )


def machine_description(machine: str, runs: int, series: int) -> str:
    """Text alternative of the chart with every run of one machine."""
    return say(
        "Every valid run of {machine}, {runs} in {series} series, as one circle each, with the "
        "mean and its interval.",
        machine=machine,
        runs=runs,
        series=series,
    )


def maker_description(maker: str, set_ups: int, series: int) -> str:
    """Text alternative of the chart that sets one maker against the others."""
    return say_count(
        "The {count} set-up of {maker} in {series} series, each with its mean and interval, above "
        "the means of all other set-ups.",
        "The {count} set-ups of {maker} in {series} series, each with its mean and interval, above "
        "the means of all other set-ups.",
        set_ups,
        maker=maker,
        series=series,
    )


def drift_description(days: int, out_of_line: int) -> str:
    """Text alternative of a control chart."""
    if out_of_line:
        return say_count(
            "{count} day of the reference in their order, {out} of them out of line.",
            "{count} days of the reference in their order, {out} of them out of line.",
            days,
            out=out_of_line,
        )
    return say_count(
        "{count} day of the reference in their order, none of them out of line.",
        "{count} days of the reference in their order, none of them out of line.",
        days,
    )


def ladder_caption(confidence: float, top_n: int) -> str:
    """How to read a ladder."""
    return say(
        "Left, each set-up's mean with its {percent} interval; right, as a bracket, every place "
        "that its runs do not rule out, with the top {n} tinted. Overlapping lines do not decide "
        "whether two set-ups differ; the brackets take every comparison into account. Open dots "
        "have fewer runs than the method asks for, dashed lines rest on one run.",
        percent=figures.percent(confidence),
        n=top_n,
    )


def overall_caption(confidence: float, top_n: int) -> str:
    """How to read the ladder over all series."""
    # For translators: follows "Open dots have fewer runs …, dashed lines rest on one run."
    of_all_series = say(
        "A set-up is marked so where one of its series is. Set-ups that miss a series have no "
        "overall place and are not drawn."
    )
    return f"{ladder_caption(confidence, top_n)} {of_all_series}"


def ladder_finding(could: int, total: int, top_n: int) -> str:
    """How many could be in the top cut, over the drawing."""
    return say_count(
        "{count} of {total} could be in the top {top}",
        "{count} of {total} could be in the top {top}",
        could,
        total=total,
        top=top_n,
    )


def machine_finding(runs: int) -> str:
    """How many runs there are, over the drawing."""
    return say_count(
        "Its {count} run, among the means of all others",
        "Its {count} runs, among the means of all others",
        runs,
    )


def maker_finding(means: int, better: int, worse: int) -> str:
    """In which half of the field the means of a maker are shown to be, over the drawing."""
    return say_count(
        "{count} mean in the field: {better} shown to be in its better half, {worse} in its worse",
        "{count} means in the field: {better} shown to be in its better half, {worse} in its worse",
        means,
        better=better,
        worse=worse,
    )


def still_caption(rows: int) -> str:
    """That the picture shows only the first, until a reader wants more."""
    return say("The picture has the first {rows}; all come when it is pointed at.", rows=rows)


def machine_caption(confidence: float) -> str:
    """How to read the chart with every run of one machine."""
    return say(
        "A circle is one run, a line of circles one day, the first day at the top. The upright "
        "mark is the mean of the set-up's runs, the line its {percent} interval, dashed where it "
        "rests on one run. The quiet marks on the ruler are the means of all other set-ups. A "
        "series has one ruler for all machines.",
        percent=figures.percent(confidence),
    )


def maker_caption(confidence: float) -> str:
    """How to read the chart that sets one maker against the others."""
    return say(
        "A dot is a set-up's mean, the line its {percent} interval; open dots have fewer runs than "
        "the method asks for, dashed lines rest on one run. The quiet marks on the ruler are the "
        "means of all other set-ups. Where lines overlap, look at the places: overlapping lines do "
        "not decide. A series has one ruler for all makers.",
        percent=figures.percent(confidence),
    )


def maker_pair_caption(confidence: float) -> str:
    """How to read the chart of two makers."""
    return say(
        "A circle is the mean of a set-up of the maker named first, a square that of the other's, "
        "the line its {percent} interval; open ones have fewer runs than the method asks for, "
        "dashed lines rest on one run. Where lines overlap, look at the places: overlapping lines "
        "do not decide. Each panel has its own scale.",
        percent=figures.percent(confidence),
    )
