"""What an edition from anywhere says of standings: rows as editions have them, or a refusal."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path
from zipfile import ZipFile

import pytest

from trialpress.editions import Edition, UnsafeArchiveError, Version
from trialpress.site import frozen
from trialpress.site.frozen import FrozenEdition

TABLES = """
create table protocols as select 'hair' as protocol, 2 as version, 'Hair' as title, '%' as unit;
create table series as select 'hair' as protocol, 2 as version, 1 as is_current;
create table setups as select 'one-stock' as setup, 'stock' as label;
create table machines as select 'one' as machine, 'One' as name;
create table makers as select 'stick' as maker, 'Stick' as name;
create table standings as select 'hair' as protocol, 2 as version, 1 as position, 1 as place,
    'one-stock' as setup, 'one' as machine, 'stick' as maker, 91.5 as mean, 90.0 as low,
    null as high, 3 as n, 1 as place_best, 2 as place_worst, 'certain' as top, 1 as decimals;
"""
ENDLESS = """
alter table standings rename to kept;
create view standings as
    with recursive n(x) as (select 1 union all select x + 1 from n) select kept.* from n, kept;
"""


def edition(folder: Path, and_then: str = "") -> FrozenEdition:
    with closing(sqlite3.connect(":memory:")) as database:
        database.executescript(TABLES + and_then)
        content = database.serialize()
    with ZipFile(folder / "1.0.0.zip", "w") as archive:
        archive.writestr("dataset/dataset.sqlite", content)
    made = Edition(Version.of("1.0.0"), date.max, folder / "1.0.0.zip", 1, "", {})
    return FrozenEdition(made)


def test_a_standing_is_read_as_the_edition_has_it(tmp_path: Path) -> None:
    (standing,) = edition(tmp_path).standings

    assert (standing.key, standing.value) == ("hair|2|one-stock", "91.5")


@pytest.mark.parametrize(
    ("column", "change"),
    [
        ("mean", "update standings set mean = 'abc'"),
        ("mean", "update standings set mean = null"),
        ("mean", "update standings set mean = 9e999"),
        ("place", "update standings set place = x'ff'"),
        ("low", "update standings set low = '<b>'"),
        ("top", "update standings set top = 'evil'"),
        ("label", "update setups set label = 7"),
        (
            "protocol",
            (
                "update standings set protocol = '..'; update protocols set protocol = '..'; "
                "update series set protocol = '..'"
            ),
        ),
        ("machine", "update standings set machine = '../a'; update machines set machine = '../a'"),
        ("decimals", "update standings set decimals = 1000000000"),
        ("decimals", "update standings set decimals = -1"),
    ],
)
def test_a_cell_that_no_edition_has_is_refused(column: str, change: str, tmp_path: Path) -> None:
    with pytest.raises(UnsafeArchiveError, match=f"a standing with the {column} "):
        _ = edition(tmp_path, f"{change};").standings


def test_a_table_that_never_ends_is_given_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(frozen, "MOST_STEPS", 10_000)

    with pytest.raises(UnsafeArchiveError, match="interrupted"):
        _ = edition(tmp_path, ENDLESS).standings
