"""What every column of a bench holds, as a page for the tester.

In:  the schemas that ``check`` goes by.
Out: ``COLUMNS.md``: the tables with the meaning, unit and words of each column, and one example of
     each kind of reading, to copy.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trialpress.bench import TABLES
from trialpress.intake import Field, read_schema

_HEAD = """# The columns

What each file of a bench holds. A column in bold must be filled in; one with a star may stay blank
until the run is made; all others may be blank, or left out of the file. Rows refer to each other by
the names in the first column, which are yours to choose: lower-case letters, digits and hyphens.
"""
_EXAMPLES = """## One example of each kind of reading

A protocol row says how a run is made; the rows of a day say what came of it. Copy the protocol you
need into `data/catalogue/protocols.csv`, say how a run is made in `data/catalogue/methods/`, and
type readings into a day folder such as `data/days/2031-03-02-hall/`.
"""


@dataclass(frozen=True)
class Example:
    """A protocol and readings under it, as they are typed; ``words`` say when to use it."""

    reading: str
    words: str
    protocol: str
    table: str
    rows: tuple[str, ...]


PROTOCOL_COLUMNS = (
    "protocol,version,title,reading,floor,soil,dose_g,dose_tolerance_g,clean_limit,zones,unit,"
    "better,min_runs,matters,from_date,continues,in_overall"
)
EXAMPLES = (
    Example(
        "collected",
        "A dose is spread, and the machine's container is weighed before and after.",
        "sand-on-rug,1,Sand on a rug,collected,example-rug,example-sand,20,0.5,,,%,higher,3,2,"
        "2031-01-01,false,1",
        "weighings",
        (
            "run,at,setup,protocol,version,instrument,dose_g,before_g,after_g,status",
            "hall-01,2031-03-02T19:05,tern-3-stock,sand-on-rug,1,balance,20.0,412.3,428.7,valid",
        ),
    ),
    Example(
        "left",
        "A dose is spread, and what stays behind is weighed in a wiping cloth or a floor panel.",
        "sand-in-gaps,1,Sand in gapped boards,left,example-boards,example-sand,10,0.2,,,%,higher,"
        "3,2,2031-01-01,false,1",
        "weighings",
        (
            "run,at,setup,protocol,version,instrument,dose_g,before_g,after_g,blank_g,status",
            "hall-02,2031-03-02T19:20,tern-3-stock,sand-in-gaps,1,balance,10.0,46.1,47.4,0.1,valid",
        ),
    ),
    Example(
        "graded",
        "Each zone of the floor is given a grade from 0 (clean) to 4 (heavily soiled).",
        "dried-stain,1,Dried stains,graded,example-boards,,,,1,2,%,higher,3,10,2031-01-01,false,0",
        "gradings",
        (
            "run,zone,grader,at,setup,protocol,version,grade,status",
            "hall-03,left,ann,2031-03-02T19:40,tern-3-stock,dried-stain,1,0,valid",
            "hall-03,right,ann,2031-03-02T19:40,tern-3-stock,dried-stain,1,2,valid",
        ),
    ),
    Example(
        "value",
        "A figure is read off, such as decibels or minutes.",
        "noise,1,Noise at ear height,value,example-rug,,,,,,dB(A),lower,2,2,2031-01-01,false,0",
        "values",
        (
            "run,at,setup,protocol,version,value,status",
            "hall-04,2031-03-02T20:00,tern-3-stock,noise,1,71.4,valid",
        ),
    ),
    Example(
        "count",
        "Of some tries, those that succeed are counted, such as hairs picked up.",
        "hair,1,Long hair on a rug,count,example-rug,,,,,,%,higher,3,5,2031-01-01,false,0",
        "counts",
        (
            "run,at,setup,protocol,version,hits,tries,status",
            "hall-05,2031-03-02T20:10,tern-3-stock,hair,1,28,30,valid",
        ),
    ),
)


def columns_text() -> str:
    """The whole page, in Markdown."""
    return "\n".join([_HEAD, *_tables(), _EXAMPLES, *_examples()])


def _tables() -> Iterator[str]:
    for table in TABLES:
        schema = read_schema(table)
        yield f"## {table}.csv\n\n{schema.description}\n"
        yield "| column | what it holds |\n|---|---|"
        yield "\n".join(_line(field) for field in schema.fields) + "\n"


def _line(field: Field) -> str:
    name = f"**{field.name}**" if field.required else field.name
    star = r"\*" if field.blank_until_run else ""
    meaning = field.meaning.replace("|", r"\|")
    return f"| {name}{star} | {meaning} |"


def _examples() -> Iterator[str]:
    for example in EXAMPLES:
        yield f"### {example.reading}\n\n{example.words}\n"
        yield f"```\nprotocols.csv\n{PROTOCOL_COLUMNS}\n{example.protocol}\n"
        yield "\n".join([f"{example.table}.csv", *example.rows, "```\n"])
