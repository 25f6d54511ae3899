"""What the columns of spreadsheets are called, and what that means.

In:  the text of a header.
Out: the same for comparing, the unit it names, which of our columns goes by that name.

Short: mappings, layouts and guesses ask it.
"""

from __future__ import annotations

import re
import tomllib
from functools import cache
from importlib.resources import files

from trialpress.bench import READING_TABLES
from trialpress.intake import read_schema

TIME = "time"
MEASURED = "measured"
"""A column whose cells are what the protocol of the row reads: a gain, a value, hits, a grade."""
_UNIT = re.compile(r"\[([^\]]*)\]|\(([^)]*)\)|(?:,\s*|(?<=\s))(mg|g|kg|%)$")


@cache
def our_columns() -> tuple[str, ...]:
    """All columns of all reading tables, the time by itself, and what a protocol reads."""
    names = [name for table in READING_TABLES for name in read_schema(table).columns]
    return (*dict.fromkeys(names), TIME, MEASURED)


def unit_in(header: str) -> str | None:
    """The unit that a header names in brackets or behind a comma."""
    match = _UNIT.search(header)
    return (match and next(filter(None, match.groups()), None)) or None


def plain_header(header: str) -> str:
    """A header for comparing: lower case, without units, words parted by one space."""
    return " ".join(re.findall(r"\w+", _UNIT.sub(" ", header).casefold().replace("_", " ")))


@cache
def known_headers() -> dict[str, str]:
    """Our column by what it may be called; run names are mapped by hand or not at all."""
    text = files("trialpress.desk.adopt").joinpath("aliases.toml").read_text(encoding="utf-8")
    names = {alias: name for name, known in tomllib.loads(text).items() for alias in known}
    for table in READING_TABLES:
        for column in read_schema(table).fields:
            names[plain_header(column.name)] = column.name
            names[plain_header(column.title)] = column.name
    names[MEASURED] = MEASURED
    return {alias: name for alias, name in names.items() if name != "run"}
