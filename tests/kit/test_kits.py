"""Whole kits: what is in them, what is refused, what is left as it is."""

from __future__ import annotations

import csv
import re
import shutil
from dataclasses import replace
from datetime import date
from gettext import NullTranslations
from pathlib import Path

import pytest

from flow.benches import SMALL, copy_of_small_bench, open_results
from kit.conftest import AS_OF, REQUEST, Made, kits_order
from trialpress.bench import Bench
from trialpress.dataset import write_dataset
from trialpress.flow import KITS, make_kits
from trialpress.kit import KitRequest, NoSuchSubjectError, NothingAskedError, UnderEmbargoError
from trialpress.kit.description import MOST_BYTES, description_of, missing_links
from trialpress.kit.facts import facts_of, not_to_say
from trialpress.kit.making import Source, stills_of
from trialpress.kit.request import NotShown, Subject, subject_of
from trialpress.kit.speech import said_number, said_with_unit
from trialpress.kit.texts import NOT_SPELLED, texts_of
from trialpress.site.films import corrections_since_film, pins_of
from trialpress.site.pages.lines import lines_of_series
from trialpress.view import View
from trialpress.view.terms import write_terms
from trialpress.words import Language, speaking
from trialpress.words.language import locale_of
from typed import trialpress

MAY = str(1_935_360_000)  # 2031-05-01


def test_every_figure_is_that_of_the_site_and_of_the_dataset(
    source: Source, small_view: View, tmp_path: Path
) -> None:
    write_terms(small_view.store)
    write_dataset(small_view.store, tmp_path)
    with (tmp_path / "results" / "standings.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["protocol"] == "pickup"]
    lines = lines_of_series(small_view)["pickup", 2]
    still = next(iter(stills_of(source)))

    assert [cells[0] for cells in still.table.rows] == [row["place"] for row in rows]
    assert [cells[2] for cells in still.table.rows] == [row["mean"] for row in rows]
    assert [cells[3] for cells in still.table.rows] == [
        f"{row['low']} to {row['high']}" for row in rows
    ]
    assert [cells[2] for cells in still.table.rows] == [line.value for line in lines]
    assert [cells[3] for cells in still.table.rows] == [line.interval for line in lines]
    (fact,) = facts_of(source)
    own = next(row for row in rows if row["setup"] == "one-stock")
    assert fact.words.value == own["mean"]
    drawn = {words.text for words in still.wide.words}
    assert {own["mean"], f"{own['low']} to {own['high']}"} <= drawn
    for name in ("description.txt", "fact-sheet.md", "stills-in-words.md"):
        text = texts_of(source, (still,), Bench(SMALL), tmp_path).files[name]
        assert f"{own['low']} to {own['high']}" in text


def test_a_description_is_plain_short_and_begins_with_two_whole_lines(made: Made) -> None:
    raw = (made.folder / "description.txt").read_bytes()
    text = raw.decode("utf-8")

    assert len(raw) <= MOST_BYTES
    assert not set(text) & set("<>\r\t")
    first, second = text.splitlines()[:2]
    assert first.endswith(".")
    assert second.endswith("https://bench.example/machines/stick-one.html")
    assert "All machines are bought by the tester." in text


def test_a_long_description_loses_lines_from_its_end_and_never_a_part_of_one(
    source: Source,
) -> None:
    (fact,) = facts_of(source)

    text = description_of(source, (fact,) * 90)

    assert len(text.encode()) <= MOST_BYTES
    line = next(line for line in text.splitlines() if line.startswith("On Dust"))
    told = [one for one in text.splitlines() if one.startswith("On Dust")]
    assert 3 < len(told) < 90
    assert set(told) == {line}


def test_chapters_are_the_marks_of_the_film_about_it(source: Source) -> None:
    text = description_of(source, facts_of(source))

    assert "0:00:00 What it is about\n0:01:30 A run on the rug\n0:04:05 The robot\n" in text


def test_a_link_that_the_site_lacks_is_a_warning(source: Source, tmp_path: Path) -> None:
    (tmp_path / "machines").mkdir()
    (tmp_path / "machines" / "stick-one.html").write_text("there", "utf-8")

    warned = missing_links(source, tmp_path)

    assert "standings/pickup.html is not in the site" in warned[0]
    assert not any("stick-one" in line for line in warned)


def test_what_must_not_be_claimed_comes_with_its_reason(source: Source) -> None:
    limits = {one.claim: one.why for one in not_to_say(source, facts_of(source))}

    assert limits["a single place, as if it were sure"] == (
        "the runs leave places 1 to 2 on Dust on a rug"
    )
    assert any(why.startswith("one specimen was tested") for why in limits.values())


@pytest.mark.parametrize(
    ("value", "decimals", "said"),
    [
        (81.4, 1, "eighty-one point four"),
        (0.05, 2, "zero point zero five"),
        (-2.0, 1, "minus two point zero"),
        (-0.04, 1, "zero point zero"),
        (100, 0, "one hundred"),
        (131.8, 1, "one hundred and thirty-one point eight"),
        (1204, 0, "one thousand two hundred and four"),
        (21_040, 0, "twenty-one thousand and forty"),
    ],
)
def test_a_figure_is_spelled_as_it_is_said(value: float, decimals: int, said: str) -> None:
    # Written out by hand, after British usage
    assert said_number(value, decimals) == said


@pytest.mark.parametrize(
    ("tag", "said", "is_told"), [("en-GB", "eighty-one point four", False), ("nl", "81,4", True)]
)
def test_figures_are_spelled_in_english_and_the_fact_sheet_says_where_they_are_not(
    source: Source, tmp_path: Path, tag: str, said: str, *, is_told: bool
) -> None:
    locale = locale_of(tag)
    assert locale is not None

    with speaking(Language(tag, locale, NullTranslations())):
        assert said_number(81.4, 1) == said
        files = texts_of(source, (), Bench(SMALL), tmp_path).files

    for name in ("fact-sheet.md", "fact-sheet.html"):
        assert (NOT_SPELLED in files[name]) is is_told


def test_a_unit_is_said_in_words() -> None:
    assert said_with_unit(81.4, 1, "%") == "eighty-one point four percent"
    assert said_with_unit(3, 0, "parsec") == "three parsec"


def test_a_film_whose_figure_was_corrected_has_a_sentence_to_pin(tmp_path: Path) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")
    (bench / "data" / "films.csv").write_text(
        "film,title,address,published_on\nsticks,Sticks,https://films.example/sticks,2031-03-10\n",
        "utf-8",
    )
    with open_results(Bench(bench), AS_OF) as store:
        pins = [pin for pin in pins_of(View(store)) if pin.correction == "again"]

    (pin,) = pins
    assert pin.film.address == "https://films.example/sticks"
    assert pin.sentence == (
        "Correction of 20 March 2031: at 0:01:30, “A run on the rug”, before (g) of run hall-02 "
        "was 260.2 and is 260.3. The film again. The run gives 89\N{NO-BREAK SPACE}% now."
    )


def test_corrections_count_from_the_last_film_that_shows_the_machine(small_view: View) -> None:
    film, changes = corrections_since_film(small_view, "stick-one")

    assert film is not None
    assert film.film == "sticks"
    assert changes == ()  # all of them were made before 8 June
    assert pins_of(small_view) == ()


def test_a_name_that_is_not_there_is_answered_with_the_nearest(small_view: View) -> None:
    with pytest.raises(NoSuchSubjectError, match="Is one-stock meant"):
        subject_of(small_view, KitRequest(setup="on-stock"), {})
    with pytest.raises(NoSuchSubjectError, match="Is pickup meant"):
        subject_of(small_view, KitRequest(top="pikup"), {})
    with pytest.raises(NoSuchSubjectError, match="Is maker-one meant"):
        subject_of(small_view, KitRequest(maker="maker-on"), {})


def test_a_kit_is_of_one_thing(small_view: View) -> None:
    for wrong in (KitRequest(), KitRequest(setup="one-stock", maker="maker-one")):
        with pytest.raises(NothingAskedError):
            subject_of(small_view, wrong, {})


def test_a_set_up_under_embargo_is_refused_and_allowed_by_its_date(tmp_path: Path) -> None:
    request = KitRequest(setup="two-stock", protocols=("hair",))
    before = date(2031, 5, 1)

    with pytest.raises(UnderEmbargoError, match="two-stock is under embargo until 2031-06-01"):
        make_kits(kits_order(SMALL, tmp_path, request, as_of=before, today=before))

    assert not [one for one in (tmp_path / KITS).iterdir() if not one.name.startswith(".")]


def test_a_protocol_without_runs_is_named_with_the_reason(small_view: View) -> None:
    subject = subject_of(small_view, KitRequest(setup="one-stock"), {})

    missing = {one.protocol: one.why for one in subject.not_shown}
    assert set(missing) & {one.protocol for one in subject.series} == set()
    assert set(missing) | {one.protocol for one in subject.series} == {
        one.protocol for one in small_view.current_series
    }
    assert all(missing.values())


def test_of_a_protocol_that_nobody_has_run_a_kit_says_so(
    small_view: View, source: Source, tmp_path: Path
) -> None:
    (series,) = [one for one in small_view.current_series if one.key == ("pickup", 2)]
    missing = NotShown("pickup", series.name.full, "no run of it was made")
    subject = Subject(KitRequest(top="pickup"), (), (), (), (missing,))

    files = texts_of(replace(source, subject=subject), (), Bench(SMALL), tmp_path).files

    for name in ("index.html", "fact-sheet.html", "fact-sheet.md"):
        assert "Dust on a rug: no run of it was made" in files[name]


def test_what_would_be_the_same_is_not_drawn_again_and_what_was_touched_is(
    made: Made, tmp_path: Path
) -> None:
    shutil.copytree(made.out, tmp_path / "out")
    kit = tmp_path / "out" / KITS / "one-stock"
    touched = kit / "stills" / "standing-pickup-light.svg"
    whole = touched.read_bytes()
    touched.write_bytes(whole[:-20])

    (again,) = make_kits(kits_order(SMALL, tmp_path / "out"))

    assert (again.name, again.drawn_anew) == ("one-stock", 0)
    assert touched.read_bytes() == whole
    files = [file for file in made.folder.rglob("*") if file.is_file()]
    assert len(files) > 40
    for file in files:
        assert (kit / file.relative_to(made.folder)).read_bytes() == file.read_bytes(), file


def test_build_leaves_kits_alone_and_names_those_that_are_older_than_the_data(
    made: Made, tmp_path: Path
) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")
    shutil.copytree(made.out, bench / "build")
    (hair,) = bench.glob("data/days/2031-03-09-porch/counts.csv")
    before = (bench / "build" / KITS / "one-stock" / "kit.json").read_bytes()

    same = trialpress("build", "--only", "store", "--as-of", "2031-07-01", folder=bench)
    hair.write_text(hair.read_text("utf-8").replace("28,30", "27,30"), "utf-8")
    newer = trialpress("build", "--only", "store", "--as-of", "2031-07-01", folder=bench)

    assert "older than the data" not in same.stdout
    assert "older than the data: kit one-stock." in newer.stdout
    assert (bench / "build" / KITS / "one-stock" / "kit.json").read_bytes() == before


def test_the_command_says_where_it_wrote_and_every_file_what_is_under_embargo(
    tmp_path: Path,
) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")
    as_of = ("--as-of", "2031-06-01")

    none = trialpress("build", "--only", "kit", *as_of, folder=bench)
    wrong = trialpress("kit", "one-stok", *as_of, folder=bench)
    done = trialpress("kit", "--top", "hair", *as_of, folder=bench, SOURCE_DATE_EPOCH=MAY)

    assert "There is no kit in build/kit to draw anew. trialpress kit makes one." in none.stdout
    assert wrong.returncode == 2
    assert "Is one-stock meant?" in wrong.stderr
    assert done.returncode == 0, done.stderr
    assert re.search(r"1 still in \d+ pictures, \d+ of them drawn anew", done.stdout)
    assert "build/kit/top-hair/index.html" in done.stdout
    kit = bench / "build" / "kit" / "top-hair"
    for name in ("description.txt", "fact-sheet.md", "fact-sheet.html", "index.html",
                 "stills-in-words.md", "stills/standing-hair-light.svg"):  # fmt: skip
        assert "Not to be shown before 1 June 2031" in (kit / name).read_text("utf-8"), name


def test_the_request_is_the_folders_name() -> None:
    assert REQUEST.name == "one-stock"
    assert KitRequest(maker="maker-one").name == "maker-maker-one"
