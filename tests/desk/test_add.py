"""A row of the catalogue is added without typing CSV: asked, judged by check, kept, taken back."""

from __future__ import annotations

import io
import json
import threading
from pathlib import Path
from unittest import mock

import pytest

from flow.benches import copy_of_small_bench, files_below
from trialpress.bench import Bench
from trialpress.desk.catalogue.entry import ChangedMeanwhileError, EntryError, new_entry
from trialpress.desk.catalogue.keeping import EntryRefusedError, keep, undo
from trialpress.desk.catalogue.offering import slug_of
from trialpress.desk.catalogue.starters import starters
from trialpress.desk.last_change import UndoneNoMoreError
from typed import Said, trialpress

MACHINE = {"machine": "three", "maker": "maker-two", "kind": "stick", "acquired": "bought"}
ODD = (
    '\ufeff"note";acquired;kind;name;maker;machine;price\r\n'
    '"Says ""hello"",\r\nin two lines";bought;"stick";Stick One;maker-one;stick-one;199,90\r\n'
    ";loaned;robot;Robot Two;maker-two;robot-two;\r\n"
)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    return copy_of_small_bench(tmp_path / "bench")


def add(bench: Path, *arguments: str) -> Said:
    return trialpress("add", *arguments, folder=bench, SOURCE_DATE_EPOCH="1931462400")  # 2031-03-16


def answer(bench: Path, *arguments: str, lines: str) -> Said:
    with mock.patch("sys.stdin", io.StringIO(lines)):
        return add(bench, *arguments)


def catalogue(bench: Path, table: str) -> Path:
    return bench / "data" / "catalogue" / f"{table}.csv"


def write_odd(bench: Path) -> bytes:
    catalogue(bench, "machines").write_bytes(ODD.encode())
    return ODD.encode()


def test_bytes_of_another_encoding_are_no_text_of_a_row(bench: Path) -> None:
    before = files_below(bench / "data")

    said = add(bench, "makers", "maker=three", "name=M\udce5ker")  # so a terminal gives Latin-1

    assert (said.returncode, files_below(bench / "data")) == (2, before)
    assert "name is no text in UTF-8" in said.stderr


def test_a_name_is_proposed_and_undo_leaves_no_trace(bench: Path) -> None:
    before = files_below(bench / "data")

    done = add(bench, "makers", "name=Måker & Söhne")

    assert (done.returncode, done.stderr) == (0, "")
    assert "maker: maker-sohne  (proposed)" in done.stdout
    assert catalogue(bench, "makers").read_text("utf-8").endswith("\nmaker-sohne,Måker & Söhne,\n")
    assert add(bench, "--undo").stdout == "Undone: maker-sohne was added to makers.csv.\n"
    assert files_below(bench / "data") == before


def test_a_row_takes_the_forms_of_its_file_whose_other_bytes_stay(bench: Path) -> None:
    """Semicolons, decimal commas, other order, quotes, CRLF and a mark, as a spreadsheet saves."""
    before = write_odd(bench)

    done = add(bench, "machines", "name=Th; ree", "price=1.5", *map("=".join, MACHINE.items()))

    assert (done.returncode, done.stderr) == (0, "")
    added = ';bought;stick;"Th; ree";maker-two;three;1,5\r\n'
    assert catalogue(bench, "machines").read_bytes() == before + added.encode()


def test_a_change_leaves_every_other_byte_even_of_its_own_row(bench: Path) -> None:
    before = write_odd(bench)
    row = {"machine": "stick-one", "maker": "maker-one", "name": "Stick One", "kind": "stick"}
    row |= {"price": "199.90", "acquired": "bought", "note": 'Says "hello",\nin two lines'}

    def change(was: dict[str, str], **cells: str) -> None:
        keep(Bench(bench), new_entry("machines", {**was, **cells}, key=("stick-one",), was=was))

    with pytest.raises(ChangedMeanwhileError, match="note says Says"):
        change(row, price="189.5")  # the line break in the note is another one
    row["note"] = row["note"].replace("\n", "\r\n")
    change(row, price="189.5")

    assert catalogue(bench, "machines").read_bytes() == before.replace(b"199,90", b"189,5")
    with pytest.raises(ChangedMeanwhileError, match=r"says 189\.5 by now, and said 199\.90"):
        change(row, price="1")
    with pytest.raises(EntryError, match="A name stays"):
        change({**row, "price": "189.5"}, machine="other")
    undo(Bench(bench))
    assert catalogue(bench, "machines").read_bytes() == before


def test_what_check_would_refuse_is_not_written_and_all_of_it_is_told(bench: Path) -> None:
    before = files_below(bench / "data")

    done = add(bench, "machines", "name=X", "kind=stick", "maker=maker-tow", "acquired=found")

    assert done.returncode == 1
    assert "maker: there is no maker-tow in makers.csv. Did you mean maker-two?" in done.stderr
    assert "acquired: found is not one of the words for this column." in done.stderr
    assert files_below(bench / "data") == before


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["machnes"], "There is no table machnes to add to. Is machines meant?"),
        (["weighings"], "Runs are typed in the bench sheet"),
        (["makers", "name"], "name says no column and value. Write COLUMN=VALUE."),
        (["makers", "nmae=X"], "makers.csv has no column nmae. Is name meant?"),
        (["protocols", "--like", "rugs"], "protocols has nothing called rugs to copy."),
        (["--undo"], "There is nothing to undo"),
    ],
)
def test_a_command_that_cannot_work_says_what_to_write(
    arguments: list[str], words: str, bench: Path
) -> None:
    done = add(bench, *arguments)

    assert done.returncode == 2
    assert words in done.stderr.replace("\n", " ")


def test_each_column_is_asked_until_it_can_be_right(bench: Path) -> None:
    lines = "Three\n\nmaker-nine\nmaker-two\nstick\n\nmany\n99\n\n\n\nbought\n\n\n\ny\n"

    done = answer(bench, "machines", lines=lines)

    assert done.returncode == 0
    assert "Maker: Who makes it." in done.stdout
    assert "There are: Maker One (maker-one), Maker Two (maker-two)." in done.stdout
    assert "error: there is no maker-nine in makers.csv." in done.stdout
    assert "error: many is not a number" in done.stdout
    row = catalogue(bench, "machines").read_text("utf-8").splitlines()[-1]
    assert row == "three,maker-two,Three,stick,,99,,,bought,,,"


def test_a_kind_of_trial_is_asked_with_its_answers_in_brackets(bench: Path) -> None:
    """What is at fault only in the whole row, a count without a floor, is asked once more."""
    lines = "\n\n\n\n\n" + "\n" * 13 + "boards\n" + "y\n"

    done = answer(bench, "protocols", "--like", "hair", lines=lines)

    assert (done.returncode, done.stderr) == (0, "")
    assert "title [Long hair]: " in done.stdout
    assert "reading [count]: " in done.stdout
    assert "floor: is blank, but count needs it" in done.stdout
    assert "no text says" not in done.stdout
    row = catalogue(bench, "protocols").read_text("utf-8").splitlines()[-1]
    assert row == "long-hair,1,Long hair,count,boards,,,,,,%,higher,3,5,2031-03-16,,false,1"


def test_answers_that_end_too_soon_write_nothing(bench: Path) -> None:
    before = files_below(bench / "data")

    done = answer(bench, "machines", lines="Three\n\n")

    assert (done.returncode, files_below(bench / "data")) == (2, before)
    assert "The answers ended before the row was whole. Nothing was written." in done.stderr


def test_two_that_add_one_name_at_once_leave_one_row_and_a_sentence(bench: Path) -> None:
    refused: list[str] = []

    def type_row(name: str) -> None:
        try:
            keep(Bench(bench), new_entry("makers", {"maker": "three", "name": name}))
        except EntryRefusedError as error:
            refused.append(str(error))

    threads = [threading.Thread(target=type_row, args=(name,)) for name in ("Three", "Drei")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert catalogue(bench, "makers").read_text("utf-8").count("\nthree,") == 1
    (words,) = refused
    assert words.startswith("Nothing was written. makers.csv has a row three already; another ")


def test_a_row_sent_twice_is_there_once(bench: Path) -> None:
    first, again = (add(bench, "makers", "name=Three", "maker=three", "--json") for _ in range(2))

    assert [json.loads(done.stdout)["was_new"] for done in (first, again)] == [True, False]
    assert catalogue(bench, "makers").read_text("utf-8").count("\nthree,") == 1


def test_what_others_need_or_have_changed_is_not_undone(bench: Path) -> None:
    add(bench, "makers", "name=Three", "maker=three")
    with catalogue(bench, "machines").open("a", encoding="utf-8") as file:
        file.write("m,three,M,stick,,,,,bought,,,\n")
    needed = add(bench, "--undo")
    with catalogue(bench, "makers").open("a", encoding="utf-8") as file:
        file.write("four,Four,\n")
    with pytest.raises(UndoneNoMoreError, match="was saved by another program since three was"):
        undo(Bench(bench))

    assert needed.returncode == 1
    assert "Not undone: three was added to makers.csv, and without it" in needed.stderr
    assert "\nthree,Three,\nfour," in catalogue(bench, "makers").read_text("utf-8")


@pytest.mark.parametrize("name", starters())
def test_every_kind_of_trial_is_a_protocol_with_a_text_and_cautions(name: str, bench: Path) -> None:
    """The cautions of the contract's section 11, each where it applies."""
    floor = [] if name == "run-time" else ["floor=boards"]

    done = add(bench, "protocols", "--like", name, f"protocol=my-{name}", *floor)

    assert (done.returncode, done.stderr) == (0, "")
    assert "warning" not in done.stdout
    text = (bench / "data" / "catalogue" / "methods" / f"my-{name}.md").read_text("utf-8")
    _, _, cautions = text.partition("## Cautions")
    assert "Local rules come first" in cautions
    assert "Lithium packs" in cautions
    assert ("crystalline silica" in cautions) == (name in {"rug", "hard-floor", "gaps"})
    assert ("residual-current device" in cautions) == (name != "run-time")
    assert "**Noise.**" in cautions
    assert ("Water and mains power" in cautions) == (name == "stain")
    add(bench, "--undo")
    assert not (bench / "data" / "catalogue" / "methods" / f"my-{name}.md").exists()


def test_a_new_version_begins_with_what_the_last_one_says(bench: Path) -> None:
    done = add(bench, "protocols", "--like", "pickup", "protocol=pickup", "dose_g=25", "--dry-run")

    assert "version: 3  (proposed)" in done.stdout
    assert "dose_tolerance_g: 0.4  (proposed)" in done.stdout
    assert "Nothing was written." in done.stdout


@pytest.mark.parametrize(
    ("words", "slug"),
    [("Tern 3", "tern-3"), ("Größe Ω!", "grosse"), ("Ω", ""), ("a" * 70, "a" * 60)],
)
def test_a_name_is_made_of_small_letters_digits_and_hyphens(words: str, slug: str) -> None:
    assert slug_of(words) == slug
