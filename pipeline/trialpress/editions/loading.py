"""Lines that load the dataset, and the recipe that gives its means again.

In:  where the files lie: an address, or nothing where they are in the same folder.
Out: code to copy. The guide in the dataset and the page of the site have the same; tests run all of
     it but R.
"""

from __future__ import annotations

from dataclasses import dataclass

RECIPE_SQL = """\
select w.protocol, s.series_version as version, w.setup, count(*) as runs,
    avg(100 * case s.reading when 'left' then 1 - gain / dose_g else gain / dose_g end) as mean
from (
    select *, coalesce(gain_g, after_g - before_g) - coalesce(blank_g, 0) as gain
    from weighings
) as w
inner join series as s on w.protocol = s.protocol and w.version = s.version
where w.status = 'valid'
group by w.protocol, s.series_version, w.setup
order by w.protocol, version, mean desc;
"""
"""From masses to means, in the SQLite file of an edition; its view has the corrected masses."""


@dataclass(frozen=True)
class LoadLine:
    """Code that loads a table: ``tool`` is what runs it, ``language`` how it is written."""

    tool: str
    language: str
    code: str


def load_lines(base: str) -> tuple[LoadLine, ...]:
    """One line a tool; ``base`` is blank or ends in ``/``, and comes before names of files."""
    return (
        LoadLine(
            "pandas", "python", f'import pandas; pandas.read_csv("{base}results/standings.csv")'
        ),
        LoadLine(
            "frictionless",
            "python",
            "import frictionless; "
            f'frictionless.Package("{base}datapackage.json").get_resource("standings").extract()',
        ),
        LoadLine("DuckDB", "sql", f"from '{base}results/standings.parquet' where top = 'certain';"),
        LoadLine("R", "r", f'read.csv("{base}results/standings.csv")'),
    )


def database_line() -> LoadLine:
    """The same from the SQLite file of an edition, once that is downloaded."""
    query = "select setup, mean, unit from standings where place = 1"
    return LoadLine("SQLite", "sh", f'sqlite3 dataset.sqlite "{query}"')


def recipe_pandas(base: str) -> str:
    """The means of all readings from the values of the runs, with pandas."""
    return (
        "import pandas\n"
        f'runs = pandas.read_csv("{base}results/run_results.csv")\n'
        'keys = ["protocol", "series_version", "setup"]\n'
        'runs.groupby(keys)["value"].agg(["size", "mean"])\n'
    )
