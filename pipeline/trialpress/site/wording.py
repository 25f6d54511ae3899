"""How the site's pages word what is more than a number.

In:  texts of the catalogue, places, shares, shifts.
Out: text.
"""

from __future__ import annotations

from trialpress.analyses.records import AssociationGroupRow, MakerFieldRow
from trialpress.intake import read_schema
from trialpress.view.terms import why_words
from trialpress.words import figures, has_capital_nouns, say


def formula(typed: str) -> str:
    """A formula as a terminal shows it, with the signs of print."""
    for plain, sign in (("+-", "±"), (" * ", f" {figures.TIMES} "), ("^2", "²")):
        typed = typed.replace(plain, sign)
    return typed


def uncertainty(value: float | None, decimals: int) -> str:
    """A run's standard uncertainty: unknown, or under what its digits can show, where it is so."""
    if value is None:
        return say("unknown")
    if value:
        return figures.number(value, decimals)
    half_a_digit = 0.5 * 10.0**-decimals
    return say("under {limit}", limit=figures.number(half_a_digit, decimals + 1))


def could_be(best: int, worst: int) -> str:
    """The same range as a reader would say it, after "could be": ``anywhere from 4th to 9th``."""
    if best == worst:
        # For translators: after "could be", as in "could be nothing but 4th".
        return say("nothing but {place}", place=figures.ordinal(best))
    # For translators: after "could be", as in "could be anywhere from 4th to 9th".
    return say(
        "anywhere from {best} to {worst}",
        best=figures.ordinal(best),
        worst=figures.ordinal(worst),
    )


def share(inside: int, tried: int) -> str:
    """``2 of 5``."""
    return say("{inside} of {tried}", inside=inside, tried=tried)


def shift_words(row: AssociationGroupRow | MakerFieldRow) -> str:
    """How far one group of machines is from all others: ``+2.7 (-2.0 to 7.4)``, or why unknown."""
    if row.shift is None or row.shift_low is None or row.shift_high is None:
        return say("no shift: {why}", why=why_words(row.why))
    ends = figures.interval(row.shift_low, row.shift_high, row.decimals)
    return f"{figures.signed(row.shift, row.decimals)} ({ends})"


def column_words(table: str, column: str) -> str:
    """What a column of a typed table is called in a sentence, with its unit: ``dose (g)``."""
    field = read_schema(table).field(column)
    title = say(field.title)
    name = title if has_capital_nouns() else title[0].lower() + title[1:]
    return name if field.unit in {None, "1"} else f"{name} ({say(field.unit or '')})"


def sentence(text: str) -> str:
    """A typed phrase as a sentence: a full stop at the end, a capital first where it is a word."""
    return capitalised(text if not text or text[-1] in ".?!" else f"{text}.")


def capitalised(text: str) -> str:
    """The same with a capital first, where it starts with a word and not with a path or figure."""
    first_word = text.partition(" ")[0].strip(",;:.")
    return text[0].upper() + text[1:] if first_word.isalpha() else text
