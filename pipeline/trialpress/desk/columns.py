"""What every column of a bench holds, as a page for the tester.

In:  the schemas that ``check`` goes by; ``reading_examples.md``; today.
Out: ``COLUMNS.md``: the tables with the meaning, unit and words of each column and the tables it
     refers to, and one example of each kind of reading, to copy.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from importlib.resources import files

from trialpress.bench import TABLES
from trialpress.intake import Field, TableSchema, read_schema

_HEAD = """# The columns

What each file of a bench holds. A column in bold must be filled in; one with a star may stay blank
until the run is made; all others may be blank, or left out of the file. Rows refer to each other by
the names in the first column, which are yours to choose: lower-case letters, digits and hyphens.
A date is typed as 2031-03-02, and a time as 2031-03-02T19:05.
"""


def columns_text(today: date) -> str:
    """The whole page, in Markdown; the examples are of today."""
    examples = files("trialpress.desk").joinpath("reading_examples.md").read_text("utf-8")
    return "\n".join([_HEAD, *_tables(), examples.replace("{{ today }}", today.isoformat())])


def _tables() -> Iterator[str]:
    for table in TABLES:
        schema = read_schema(table)
        yield f"## {table}.csv\n\n{schema.description}\n"
        yield "| column | what it holds |\n|---|---|"
        yield "\n".join(_line(schema, field) for field in schema.fields) + "\n"


def _line(schema: TableSchema, field: Field) -> str:
    name = f"**{field.name}**" if field.required else field.name
    star = r"\*" if field.blank_until_run else ""
    where = [one.table for one in schema.references if field.name in one.columns]
    refers = f" As in {where[0]}.csv." if where else ""
    meaning = f"{field.meaning}{refers}".replace("|", r"\|")
    return f"| {name}{star} | {meaning} |"
