"""The demo bench as a folder: made by its generator to the byte, and large enough."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import fields
from datetime import date
from pathlib import Path

import pytest
from PIL import Image

from demo import rows
from demo.make_demo import make_demo
from trialpress.intake import read_schema

from .conftest import DemoBench

GPS_TAG = 0x8825


def files_below(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and "editions" not in path.parts
    }


def has_location(photo: Path) -> bool:
    with Image.open(photo) as picture:
        return GPS_TAG in picture.getexif()


def test_the_generator_writes_exactly_the_committed_bytes(tmp_path: Path, demo: DemoBench) -> None:
    make_demo(tmp_path)

    made, committed = files_below(tmp_path / "data"), files_below(demo.root)

    assert made.keys() == committed.keys()
    assert [name for name in made if made[name] != committed[name]] == []


def test_a_second_run_removes_a_day_that_is_no_longer_there(tmp_path: Path) -> None:
    left_over = tmp_path / "data" / "days" / "2024-01-01-hall" / "values.csv"
    left_over.parent.mkdir(parents=True)
    left_over.write_text("run\n")

    make_demo(tmp_path)

    assert not left_over.exists()


@pytest.mark.parametrize(
    "kind",
    [
        rows.Maker,
        rows.Machine,
        rows.Setup,
        rows.Floor,
        rows.Soil,
        rows.Instrument,
        rows.Protocol,
        rows.Claim,
        rows.Weighing,
        rows.Value,
        rows.Count,
        rows.Grading,
        rows.Condition,
        rows.Photo,
        rows.Correction,
        rows.Film,
    ],
)
def test_a_row_has_the_columns_of_its_schema_in_their_order(kind: type) -> None:
    columns = tuple(field.name for field in fields(kind))

    assert columns == read_schema(f"{kind.__name__.lower()}s").columns


def test_a_mark_has_the_columns_of_its_schema_in_their_order() -> None:
    columns = tuple(field.name for field in fields(rows.FilmMark))

    assert columns == read_schema("film_marks").columns


def test_the_bench_is_large_enough_to_show_a_real_site(demo: DemoBench) -> None:
    protocols = {row["protocol"] for row in demo.typed("protocols")}
    valid = [run for run in demo.runs() if run["status"] == "valid"]

    assert len(demo.typed("makers")) >= 9
    assert len(demo.typed("machines")) >= 36
    assert len(demo.typed("setups")) >= 45
    assert len(protocols) >= 8
    assert len(list((demo.root / "days").iterdir())) >= 25
    assert len(valid) >= 900


def test_the_days_span_two_years_that_are_over(demo: DemoBench) -> None:
    days = sorted(date.fromisoformat(f.name[:10]) for f in (demo.root / "days").iterdir())

    assert days[0] >= date(2024, 9, 1)
    assert days[-1] <= date(2026, 10, 31)
    assert (days[-1] - days[0]).days >= 2 * 365


def test_every_kind_of_machine_reading_and_floor_is_there(demo: DemoBench) -> None:
    kinds = {row["kind"] for row in demo.typed("machines")}
    readings = {row["reading"] for row in demo.typed("protocols")}
    used = {row["floor"] for row in demo.typed("protocols")}
    coverings = {row["covering"] for row in demo.typed("floors") if row["floor"] in used}

    assert kinds == {"robot", "stick", "canister", "upright", "handheld", "wet-dry"}
    assert readings == {"collected", "left", "graded", "value", "count"}
    assert coverings == {"carpet", "rug", "mat", "hard"}


def test_run_ids_are_used_once_and_replicates_have_no_gaps(demo: DemoBench) -> None:
    runs = demo.runs()
    replicates = defaultdict(list)
    for run in runs:
        replicates[run["setup"], run["protocol"], run["version"]].append(int(run["replicate"]))

    one_row_a_run = [r for t in ("weighings", "values", "counts") for r in demo.typed(t)]
    assert len({row["run"] for row in one_row_a_run}) == len(one_row_a_run)
    assert all(
        sorted(numbers) == list(range(1, len(numbers) + 1)) for numbers in replicates.values()
    )


def test_masses_have_the_digits_of_the_balance_they_were_read_on(demo: DemoBench) -> None:
    decimals = {
        row["instrument"]: len(row["resolution"].partition(".")[2])
        for row in demo.typed("instruments")
    }

    read = [
        (row["instrument"], row[column])
        for row in demo.typed("weighings")
        for column in ("before_g", "after_g", "gain_g")
        if row[column]
    ]

    assert {name for name, _ in read} == {"balance-grey", "balance-oak", "dose-scale"}
    assert all(len(mass.partition(".")[2]) == decimals[name] for name, mass in read)


def test_photos_are_small_and_one_carries_a_location_to_be_stripped(demo: DemoBench) -> None:
    photos = [demo.root / "days" / row["day"] / row["file"] for row in demo.typed("photos")]

    located = [path.stem for path in photos if has_location(path)]

    assert len(photos) >= 6
    assert max(path.stat().st_size for path in photos) <= 60_000
    assert located == ["gaps-after"]


def test_some_days_bring_a_descriptor_and_the_others_none(demo: DemoBench) -> None:
    described = list((demo.root / "days").glob("*/datapackage.json"))

    assert (demo.root / "catalogue" / "datapackage.json").exists()
    assert 1 <= len(described) <= 2


def test_every_protocol_has_a_method_page_with_its_figures_and_cautions(demo: DemoBench) -> None:
    hazardous = {row["soil"] for row in demo.typed("soils") if "silica" in row["hazard"]}

    for protocol in demo.typed("protocols"):
        page = (demo.root / "catalogue" / "methods" / f"{protocol['protocol']}.md").read_text()

        assert f"# {protocol['title']}\n" in page
        assert "Local rules come first" in page
        assert "$" not in page
        assert "<" not in page
        assert f"{protocol['dose_g']} g a run" in page or not protocol["dose_g"]
        if protocol["soil"] in hazardous:
            assert all(word in page for word in ("safety data sheet", "respirator", "ventilate"))


def test_the_bench_says_that_everything_in_it_is_invented(demo: DemoBench) -> None:
    settings = (demo.root / "bench.toml").read_text()

    assert "Invented data." in settings
    assert all(".example/" in row["website"] for row in demo.typed("makers") if row["website"])
