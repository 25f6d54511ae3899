"""A new bench passes check, builds, and its workflow puts the site on a branch."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
import zipfile
from datetime import date
from pathlib import Path

import pytest

from desk.kills import environment
from desk.published import JUNE, git
from trialpress.bench import TABLES, Bench
from trialpress.desk.columns import EXAMPLES, PROTOCOL_COLUMNS
from trialpress.desk.new import FolderTakenError, WheelError, new_bench
from trialpress.intake import Severity, read_bench, read_schema

TODAY = date(2031, 3, 2)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    new_bench(tmp_path / "bench", TODAY)
    return tmp_path / "bench"


def test_a_new_bench_asks_for_its_address_and_contact_alone(bench: Path) -> None:
    checked = read_bench(Bench(bench), None)

    assert [finding.column for finding in checked.findings] == ["base_url", "contact"]
    assert {finding.severity for finding in checked.findings} == {Severity.WARNING}
    assert list(checked.tables["protocols"].as_typed["from_date"]) == [TODAY.isoformat()]


def test_every_catalogue_file_has_the_columns_of_its_table_alone(bench: Path) -> None:
    for file in sorted((bench / "data" / "catalogue").glob("*.csv")):
        header = file.read_text(encoding="utf-8").splitlines()[0].split(",")
        assert header == [name for name in read_schema(file.stem).columns if name in header]
        assert file.stem in TABLES


def test_a_folder_with_anything_in_it_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "note").write_text("mine", encoding="utf-8")

    with pytest.raises(FolderTakenError, match="is not empty"):
        new_bench(tmp_path, TODAY)

    assert [path.name for path in tmp_path.iterdir()] == ["note"]


def test_an_empty_folder_is_filled_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    (tmp_path / "bench").mkdir()

    written = new_bench(tmp_path / "bench", TODAY)

    assert [path.name for path in tmp_path.iterdir()] == ["bench"]
    found = [p for p in (tmp_path / "bench").rglob("*") if p.is_file()]
    assert sorted(written) == sorted(p.relative_to(tmp_path / "bench").as_posix() for p in found)


def test_the_method_has_cautions_and_the_server_headers_forbid_framing(bench: Path) -> None:
    method = (bench / "data/catalogue/methods/sand-on-rug.md").read_text(encoding="utf-8")
    headers = (bench / "headers.sample").read_text(encoding="utf-8")

    assert "## Cautions" in method
    assert "X-Content-Type-Options: nosniff" in headers
    assert "Referrer-Policy:" in headers
    pages, embeds = headers.split("\n/embed/*\n")
    assert "frame-ancestors 'none'" in pages
    assert "frame-ancestors *" in embeds
    assert "  ! Content-Security-Policy\n" in embeds  # or the browser would hold both against it


def test_every_column_is_explained_and_the_examples_pass_check(bench: Path) -> None:
    text = (bench / "COLUMNS.md").read_text(encoding="utf-8")
    for table in TABLES:
        for field in read_schema(table).fields:
            assert field.name in text
    type_examples(bench)

    checked = read_bench(Bench(bench), None)

    assert [finding.column for finding in checked.findings] == ["base_url", "contact"]
    assert {example.reading for example in EXAMPLES} == set(
        read_schema("protocols").field("reading").allowed
    )


def type_examples(bench: Path) -> None:
    """The examples of COLUMNS.md, copied to where it says that they go."""
    catalogue = bench / "data" / "catalogue"
    for table, row in (
        ("makers", "quorlin,Quorlin,"),
        ("machines", "tern-3,quorlin,Tern 3,stick,,,,,bought,,,"),
        ("setups", "tern-3-stock,tern-3,as unboxed,,,,,,,,true,true,"),
        ("floors", "example-boards,Example boards,hard,,,,"),
    ):
        with (catalogue / f"{table}.csv").open("a", encoding="utf-8") as file:
            file.write(f"{row}\n")
    protocols = [PROTOCOL_COLUMNS, *(example.protocol for example in EXAMPLES)]
    (catalogue / "protocols.csv").write_text("\n".join(protocols) + "\n", encoding="utf-8")
    day = bench / "data" / "days" / "2031-03-02-hall"
    day.mkdir()
    for example in EXAMPLES:
        name = example.protocol.split(",")[0]
        (catalogue / "methods" / f"{name}.md").write_text("# How\n", encoding="utf-8")
        readings = day / f"{example.table}.csv"
        if readings.exists():  # its columns are others: a folder of its own
            readings = bench / "data" / "days" / "2031-03-02-yard" / readings.name
            readings.parent.mkdir(exist_ok=True)
        readings.write_text("\n".join(example.rows) + "\n", encoding="utf-8")


# ---- the workflow


def wheel_of(folder: Path) -> Path:
    """As much of a wheel as ``new`` looks at."""
    path = folder / "trialpress-9-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as wheel:
        wheel.writestr("trialpress/requirements.txt", "duckdb==2.0.1 --hash=sha256:abc\n")
    return path


def test_without_a_wheel_the_workflow_is_off_and_says_how_to_switch_it_on(bench: Path) -> None:
    off = (bench / ".github/publish.yml.off").read_text(encoding="utf-8")

    assert not (bench / ".github/workflows").exists()
    assert off.startswith("# This workflow is off")
    assert "--wheel" in off


def test_a_wheel_is_kept_and_named_by_hash_with_all_it_needs(tmp_path: Path) -> None:
    wheel = wheel_of(tmp_path)

    new_bench(tmp_path / "bench", TODAY, wheel)

    kept = tmp_path / "bench" / "wheels" / wheel.name
    digest = hashlib.sha256(kept.read_bytes()).hexdigest()
    assert kept.read_bytes() == wheel.read_bytes()
    assert (tmp_path / "bench" / "requirements.txt").read_text("utf-8").splitlines() == [
        "duckdb==2.0.1 --hash=sha256:abc",
        f"./wheels/{wheel.name} --hash=sha256:{digest}",
    ]


def test_what_is_no_wheel_is_refused(tmp_path: Path) -> None:
    with pytest.raises(WheelError, match="is no wheel of Trialpress"):
        new_bench(tmp_path / "bench", TODAY, Path(__file__))

    assert not (tmp_path / "bench").exists()


@pytest.fixture
def workflow(tmp_path: Path) -> str:
    new_bench(tmp_path / "made", TODAY, wheel_of(tmp_path))
    return (tmp_path / "made" / ".github/workflows/publish.yml").read_text(encoding="utf-8")


def test_the_workflow_runs_no_action_of_others_and_asks_for_no_more_than_it_needs(
    workflow: str,
) -> None:
    assert "uses:" not in workflow
    assert "\npermissions: {}\n" in workflow
    assert re.findall(r"^      (\w+: write)$", workflow, re.MULTILINE) == ["contents: write"]
    installs = re.findall(r"pip install .*", workflow)
    assert len(installs) == 2
    assert all("--no-deps --require-hashes" in install for install in installs)
    assert "TOKEN" not in "".join(script for name, script in steps_of(workflow, "publish")
                                  if name in ("Install", "Build"))  # fmt: skip


def steps_of(workflow: str, job: str) -> list[tuple[str, str]]:
    """The names and scripts of a job's steps, in order."""
    text = re.split(r"^  (\w+):$", workflow.split("\njobs:\n")[1], flags=re.MULTILINE)
    (body,) = (part for name, part in zip(text[1::2], text[2::2], strict=True) if name == job)
    found = re.findall(r"- name: (.*)\n(?:        env:\n(?:          .*\n)+)?"
                       r"        run: \|\n((?:          .*\n)+)", body)  # fmt: skip
    return [(name, re.sub(r"^ {10}", "", script, flags=re.MULTILINE)) for name, script in found]


@pytest.mark.parametrize("branch", ["main", "master"])
def test_the_workflow_publishes_and_keeps_the_record_with_the_data(
    branch: str, workflow: str, bench: Path, tmp_path: Path
) -> None:
    """Its steps as they stand, run in empty folders against a bare repository; installing aside."""
    settings = bench / "data" / "bench.toml"
    settings.write_text(settings.read_text("utf-8").replace("your-bench.example", "b.example"))
    forge = tmp_path / "forge" / "tester" / "bench.git"
    git("init", "--quiet", "--bare", str(forge), folder=tmp_path)
    for command in (("init", "--quiet", "--initial-branch", branch), ("add", "--all"),
                    ("commit", "--quiet", "--message", "Begin"),
                    ("push", "--quiet", str(forge), branch)):  # fmt: skip
        git(*command, folder=bench)
    git("update-ref", "refs/heads/pages-of-others", branch, folder=forge)

    for run in ("first", "second"):
        rehearse(steps_of(workflow, "publish"), branch, tmp_path, run)

    assert "My bench" in git("show", "pages:index.html", folder=forge)
    assert "index.html" in git("show", f"{branch}:data/published.csv", folder=forge)
    assert git("log", "--format=%s", branch, folder=forge).splitlines() == [
        "Record published pages",
        "Begin",
    ]
    assert git("rev-list", "--count", "pages", folder=forge).strip() == "1"


def rehearse(steps: list[tuple[str, str]], branch: str, folder: Path, run: str) -> None:
    (folder / run).mkdir()
    tool = folder / "runner" / "tool" / "bin"
    tool.mkdir(parents=True, exist_ok=True)
    program = tool / "trialpress"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m trialpress.cli "$@"\n')
    program.chmod(0o755)
    commit = git("rev-parse", branch, folder=folder / "forge/tester/bench.git").strip()
    for name, script in steps:
        if name != "Install":
            subprocess.run(
                ["bash", "-e", "-c", script],
                cwd=folder / run,
                check=True,
                env=environment(
                    TOKEN="none",  # noqa: S106  no forge is asked
                    RUNNER_TEMP=str(folder / "runner"),
                    GITHUB_SERVER_URL=str(folder / "forge"),
                    GITHUB_REPOSITORY="tester/bench",
                    GITHUB_REF=f"refs/heads/{branch}",
                    GITHUB_REF_NAME=branch,
                    GITHUB_SHA=commit,
                    SOURCE_DATE_EPOCH=JUNE,
                ),
            )
