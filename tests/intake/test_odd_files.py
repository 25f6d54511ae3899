"""Files that are no files of a bench: pipes, devices, links out of it, endless ones, odd names."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from intake.broken import BASE, findings_of, lay_out
from trialpress.bench import Bench, snapshot
from trialpress.intake import FindingCode
from trialpress.ordinary_file import OddFileError, read_ordinary

READ_FILES = sorted(
    path.relative_to(BASE).as_posix()
    for path in BASE.rglob("*")
    if path.is_file() and path.suffix in {".csv", ".md", ".toml"}
)


@pytest.mark.parametrize("name", [*READ_FILES, "data/published.csv", "data/words/de.po"])
def test_a_pipe_in_place_of_a_file_is_told_and_not_waited_for(name: str, tmp_path: Path) -> None:
    bench = german(tmp_path) if name.endswith(".po") else lay_out([], tmp_path)
    (tmp_path / name).unlink(missing_ok=True)
    (tmp_path / name).parent.mkdir(exist_ok=True)
    os.mkfifo(tmp_path / name)

    assert f"{name}: cannot be read: it is no ordinary file" in texts_of(bench)


@pytest.mark.parametrize("name", [*READ_FILES, "data/published.csv", "data/words/de.po"])
def test_a_link_out_of_the_bench_is_not_followed(name: str, tmp_path: Path) -> None:
    bench = german(tmp_path) if name.endswith(".po") else lay_out([], tmp_path / "bench")
    (bench.root / name).unlink(missing_ok=True)
    (bench.root / name).parent.mkdir(exist_ok=True)
    outside = tmp_path.with_name(f"{tmp_path.name}-secret.txt")
    outside.write_text("a secret\n", encoding="utf-8")
    (bench.root / name).symlink_to(outside)

    assert f"{name}: cannot be read: a link leads out of the bench folder" in texts_of(bench)
    assert "secret" not in texts_of(bench)


def test_a_template_that_leads_out_of_the_bench_is_told(tmp_path: Path) -> None:
    bench = lay_out([], tmp_path)
    (bench.own_templates / "static").mkdir(parents=True)
    (bench.own_templates / "static" / "site.css").symlink_to("/etc/hostname")
    os.mkfifo(bench.own_templates / "base.html")

    assert [(finding.file, finding.problem) for finding in findings_of(bench)] == [
        ("site_templates/base.html", "cannot be read: it is no ordinary file"),
        (
            "site_templates/static/site.css",
            "cannot be read: a link leads out of the bench folder",
        ),
    ]


@pytest.mark.parametrize("text", ["sNaN", "-snan1"])
def test_a_number_that_none_can_be_compared_with_is_no_number(text: str, tmp_path: Path) -> None:
    files = "data/days/2031-03-02-hall/weighings.csv", "data/catalogue/protocols.csv"
    edits = [
        {"file": files[0], "old": ",327.2", "new": f",{text}"},
        {"file": files[1], "old": "dust,20,0.5,", "new": f"dust,{text},0.5,"},
    ]

    findings = findings_of(lay_out(edits, tmp_path))

    assert [finding.file for finding in findings if finding.value == text] == sorted(files)


def test_a_link_that_stays_in_the_bench_is_followed(tmp_path: Path) -> None:
    bench = lay_out([], tmp_path)
    method = bench.catalogue / "methods" / "hair.md"
    method.unlink()
    method.symlink_to("edges.md")

    assert findings_of(bench) == ()


def test_a_photo_that_is_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    bench = lay_out([], tmp_path)
    photo = bench.days / "2031-03-02-hall" / "photos" / "after.jpg"
    photo.unlink()
    os.mkfifo(photo)

    assert [finding.code for finding in findings_of(bench)] == [FindingCode.PHOTO_MISSING]


def test_a_file_is_read_up_to_its_limit(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_bytes(b"12345")

    assert read_ordinary(file, most=5) == b"12345"
    with pytest.raises(OddFileError, match="more than"):
        read_ordinary(file, most=4)


@pytest.mark.parametrize("name", ["data/catalogue/methods/hair.md", "data/words/de.po"])
def test_a_text_that_takes_too_long_to_understand_is_not_read(name: str, tmp_path: Path) -> None:
    bench = german(tmp_path)
    (tmp_path / name).write_bytes(b"#" * (2**22 + 1))

    assert f"{name}: cannot be read: it has more than" in texts_of(bench)


def test_a_name_that_is_no_text_is_told_in_letters(tmp_path: Path) -> None:
    bench = lay_out([], tmp_path)
    (bench.days / os.fsdecode(b"2031-03-03-\xff")).mkdir()
    (bench.catalogue / os.fsdecode(b"\xfe.csv")).write_bytes(b"")

    findings = findings_of(bench)

    assert {finding.code for finding in findings} == {
        FindingCode.DAY_NAME,
        FindingCode.FILE_UNKNOWN,
    }
    assert all(str(finding.as_json()).isascii() for finding in findings)


@pytest.mark.parametrize(
    "name", ["data/catalogue/methods/hair.md", "data/bench.toml", "data/words/de.po"]
)
def test_text_with_an_escape_is_a_finding(name: str, tmp_path: Path) -> None:
    bench = german(tmp_path)
    text = 'disclosure = "a\\u001b[2J"' if name.endswith(".toml") else "# a\x1b[2J"
    kept = (tmp_path / name).read_text(encoding="utf-8")
    if name.endswith(".toml"):
        kept = kept.replace('disclosure = "All machines are bought by the tester."\n', "")
    (tmp_path / name).write_text(f"{kept}{text}\n", encoding="utf-8")

    findings = findings_of(bench)

    assert (FindingCode.CONTROL_CHARACTER, name) in {(item.code, item.file) for item in findings}
    assert "\x1b" not in texts_of(bench)


def test_links_that_go_round_in_circles_are_walked_once(tmp_path: Path) -> None:
    bench = lay_out([], tmp_path)
    before = snapshot(bench)
    for name in ("one", "two"):
        (bench.days / name).symlink_to(bench.data)

    assert snapshot(bench).keys() == before.keys() | {
        str(bench.days / "one"),
        str(bench.days / "two"),
    }


def german(folder: Path) -> Bench:
    """The small bench with its pages in German, so far as its translation goes."""
    bench = lay_out([], folder)
    settings = bench.settings_file.read_text(encoding="utf-8")
    bench.settings_file.write_text(f'language = "de"\n{settings}', encoding="utf-8")
    bench.translation("de").parent.mkdir()
    bench.translation("de").write_text('msgid ""\nmsgstr ""\n"Language: de\\n"\n', encoding="utf-8")
    return bench


def texts_of(bench: Bench) -> str:
    return "\n".join(finding.text for finding in findings_of(bench))
