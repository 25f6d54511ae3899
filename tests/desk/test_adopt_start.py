"""Five messy spreadsheets go in by a mapping that is begun for the tester, with few decisions."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from desk.messy_files import MESSY
from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.adopt import (
    AdoptionRequest,
    adopt,
    read_mapping,
    start,
    write_adoption,
    write_start,
)
from trialpress.desk.adopt.start_text import MappingThereError, refuse_taken
from trialpress.desk.adopt.starting import NothingLikeRunsError
from trialpress.intake import read_bench

MOST_DECISIONS = 4
SHARES = "rug-shares,1,Share of dust picked up,value,rug,,,,,,%,higher,2,2,2031-01-10,,false,0\n"
DECIDED = {
    "merged": {},
    "zones": {},
    "runs": {"protocol": "pickup", "dose_g": "protocol", "Robbi": "two-stock"},
    "results": {"pickup": "rug-shares"},
    "slashes": {"date_order": "day-first", '"Stick 1"': "one-stock"},
}
"""What the tester answers; every other line of the mapping stays as it was begun."""
ADOPTED = {"merged": 9, "zones": 12, "runs": 8, "results": 4, "slashes": 7}
"""Rows of ours, counted by hand in ``messy_files``: a wide row makes several, a mean makes none."""
ONE_CELL = {
    "merged": "2031-04-02,one-stock,pickup,2,,,20.0,,,260.2,278.0",
    "zones": "left,ann,2031-04-04,one-stock,stains,1,,0,,valid",
    "runs": "2031-04-02,one-stock,pickup,2,,,20,,,,,18.3,",
    "results": "2031-04-02,two-stock,rug-shares,1,,,77.0,,,valid,,a result whose readings were not",
    "slashes": "2031-04-03T19:30,one-stock,noise,1,,,71.2,",
}

BESIDES = {
    "merged": (
        "# Not adopted: E5 has the comment “balance was restless”.\n",
        "# Not adopted: E8 is coloured (#FFE08A).\n",
        "# Passed over as sums of others: row 6.\n",
    ),
    "zones": (
        "# Not adopted: F4 has the comment “graded in poor light”.\n",
        "# Not adopted: G6 is coloured (#FFE08A).\n",
        "# Not adopted: G6 is struck out.\n",
    ),
}
"""What stands beside the figures, and is listed in the mapping."""


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    bench = Bench(copy_of_small_bench(tmp_path / "bench"))
    with (bench.catalogue / "protocols.csv").open("a", encoding="utf-8") as file:
        file.write(SHARES)
    methods = bench.catalogue / "methods"
    (methods / "rug-shares.md").write_bytes((methods / "pickup.md").read_bytes())
    return bench


def decide(mapping: Path, answers: dict[str, str]) -> int:
    """Put answers in the place of the open ones; how many there were."""
    text = mapping.read_text(encoding="utf-8")
    for key, answer in answers.items():
        text = text.replace(f'\n{key} = "?"', f'\n{key} = "{answer}"')
    mapping.write_text(text, encoding="utf-8")
    assert '= "?"' not in text
    return len(answers)


@pytest.mark.parametrize("name", MESSY)
def test_a_messy_spreadsheet_goes_in_whole_with_under_five_decisions(
    name: str, bench: Bench
) -> None:
    file, mapping = MESSY[name](bench.root), bench.root / "begun.toml"

    begun = start(bench, file)
    write_start(mapping, begun)
    decisions = decide(mapping, DECIDED[name])
    adoption = adopt(bench, AdoptionRequest(file, read_mapping(mapping)))
    write_adoption(bench, adoption)

    assert len(begun.decisions) == decisions <= MOST_DECISIONS
    assert (adoption.refused, len(adoption.rows)) == ((), ADOPTED[name])
    assert read_bench(bench, None).findings == ()
    written = "".join(f.read_text("utf-8") for f in bench.days.glob("*-adopted/*.csv"))
    assert ONE_CELL[name] in written, written
    assert [line for line in BESIDES.get(name, ()) if line not in mapping.read_text("utf-8")] == []


def test_every_decision_says_how_many_rows_wait_for_it_and_what_it_can_be(bench: Bench) -> None:
    begun = start(bench, MESSY["slashes"](bench.root))

    order, _ = begun.decisions

    assert order.why.startswith("4 rows: 03/04/2031 can be two dates")
    assert order.answers == ("day-first", "month-first")


def test_numbers_of_runs_that_other_runs_have_are_passed_over(bench: Bench) -> None:
    file = bench.root / "numbered.csv"
    file.write_text("date,machine,test,rep,value\n2031-04-03,Stick One,noise,1,71\n", "utf-8")

    begun = start(bench, file)

    assert (begun.mapping.ignore, begun.decisions) == (("rep",), ())


def test_a_column_is_a_dose_by_its_figures_and_a_gain_is_none(bench: Bench) -> None:
    file = bench.root / "sand.csv"
    rows = ("date,machine,test,Sand,Stuff", "2031-04-03,Stick One,edges,10.1,1.3")
    file.write_text("\n".join(rows), "utf-8")

    begun = start(bench, file)

    assert begun.mapping.columns["dose_g"] == "Sand"
    assert begun.sheet.unused == ("Stuff",)


def test_what_a_spreadsheet_says_stays_in_quotes_and_comments(bench: Bench) -> None:
    file = bench.root / "hostile.csv"
    rows = (
        '"Date","Machine","Test","a""\n[fixed]\nnote = ""x","Net (g)"',
        '2031-04-01,"Robbi""\nword = ""evil","edges","#",1.2',
    )
    file.write_text("\n".join(rows), encoding="utf-8")

    write_start(bench.root / "begun.toml", start(bench, file))

    mapping = read_mapping(bench.root / "begun.toml")
    assert (mapping.word, dict(mapping.fixed), dict(mapping.values)) == (
        "adopted",
        {},
        {"setup": {}},
    )


def test_a_mapping_that_is_there_is_not_written_over(bench: Bench) -> None:
    mapping = bench.root / "begun.toml"
    mapping.write_text("mine", encoding="utf-8")

    with pytest.raises(MappingThereError, match=re.escape("begun.toml is there already")):
        refuse_taken(mapping)


def test_a_file_without_dated_rows_begins_no_mapping(bench: Bench) -> None:
    (bench.root / "list.csv").write_text("to buy,how many\nbags,3\n", encoding="utf-8")

    with pytest.raises(NothingLikeRunsError, match="nothing to begin a mapping with"):
        start(bench, bench.root / "list.csv")
