"""A new bench passes check, builds, and its workflow puts the site on a branch."""

from __future__ import annotations

import hashlib
import re
import subprocess
import zipfile
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml

from desk.kills import Commands, environment
from desk.published import JUNE, git
from house.tracked import ROOT
from trialpress.bench import READING_TABLES, TABLES, Bench
from trialpress.desk.new.bench import FolderTakenError, WheelError, new_bench
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
    protocols = checked.tables["protocols"].as_typed
    assert [row.cells["from_date"] for row in protocols] == [TODAY.isoformat()]


def test_every_catalogue_file_has_the_columns_of_its_table_alone(bench: Path) -> None:
    catalogue = sorted((bench / "data" / "catalogue").glob("*.csv"))

    assert {"machines", "setups", "protocols"} <= {file.stem for file in catalogue}
    for file in catalogue:
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


def test_the_server_headers_say_what_the_pages_say_themselves(bench: Path) -> None:
    base = (ROOT / "site_templates" / "base.html").read_text(encoding="utf-8")
    (policy,) = re.findall(r'"Content-Security-Policy" content="(.*)">', base)
    headers = (bench / "headers.sample").read_text(encoding="utf-8")

    sent = re.findall(r"^  Content-Security-Policy: (.*); frame-ancestors", headers, re.MULTILINE)

    policy = policy.replace("{% block script_sources %}{% endblock %}", "")
    asking = policy.replace("script-src 'self'", "script-src 'self' 'wasm-unsafe-eval'")
    assert sent[:3] == [policy, policy, asking]


def test_every_column_is_explained_with_its_unit_words_and_table(bench: Path) -> None:
    lines = (bench / "COLUMNS.md").read_text(encoding="utf-8").splitlines()

    for table in TABLES:
        start = lines.index(f"## {table}.csv")
        after = [i for i, line in enumerate(lines) if line.startswith("## ") and i > start]
        told = [line for line in lines[start : min(after, default=None)] if line.startswith("| ")]
        for field, line in zip(read_schema(table).fields, told[1:], strict=True):
            assert line.startswith((f"| {field.name} |", f"| **{field.name}** |",
                                    f"| {field.name}\\* |"))  # fmt: skip
            assert all(word in line for word in field.allowed)
    assert "| pile_mm | Height of the pile above its backing. In mm. |" in lines
    assert "| **maker** | Who makes it. As in makers.csv. |" in lines


def test_the_examples_copied_to_where_they_say_have_no_findings(bench: Path) -> None:
    text = (bench / "COLUMNS.md").read_text(encoding="utf-8")
    for block in re.findall(r"^```\n(.*?)^```$", text, re.MULTILINE | re.DOTALL):
        copy_example(bench, *block.splitlines())

    checked = read_bench(Bench(bench), None)

    assert [finding.column for finding in checked.findings] == ["base_url", "contact"]
    readings = [row.cells["reading"] for row in checked.tables["protocols"].as_typed]
    assert sorted(map(str, readings)) == sorted(read_schema("protocols").field("reading").allowed)
    assert sum(len(checked.tables[table].as_typed) for table in READING_TABLES) == 6


def copy_example(bench: Path, name: str, header: str, *rows: str) -> None:
    """Copy an example under the header of its file, or as a new file; a protocol gets a text."""
    file = bench / name
    file.parent.mkdir(parents=True, exist_ok=True)
    held = file.read_text(encoding="utf-8").splitlines() if file.exists() else [header]
    assert held[0] == header
    file.write_text("\n".join([*held, *rows]) + "\n", encoding="utf-8")
    if file.name == "protocols.csv":
        for row in rows:
            method = file.parent / "methods" / f"{row.split(',')[0]}.md"
            method.write_text("# How\n", encoding="utf-8")


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


@pytest.mark.parametrize("name", ["trialpress-9-py3-none-any.whl", "trialpress-9 (1).whl"])
def test_what_is_no_wheel_is_refused(name: str, tmp_path: Path) -> None:
    """A text under a wheel's name, and a wheel under a name that pip cannot install."""
    file = wheel_of(tmp_path).rename(tmp_path / name)
    if "(1)" not in name:
        file.write_text("text", encoding="utf-8")

    with pytest.raises(WheelError, match="is no wheel of Trialpress"):
        new_bench(tmp_path / "bench", TODAY, file)

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
    unprivileged = [step for step in steps_of(workflow, "publish")
                    if step["name"] in {"Install", "Build"}]  # fmt: skip
    assert [step.get("env") for step in unprivileged] == [None, None]
    assert "TOKEN" not in str(unprivileged)


def steps_of(workflow: str, job: str) -> list[dict[str, Any]]:
    """A job's steps, in order."""
    steps: list[dict[str, Any]] = yaml.safe_load(workflow)["jobs"][job]["steps"]
    return steps


@pytest.mark.dear
def test_the_workflow_publishes_from_main_or_master_and_keeps_the_record_with_the_data(
    workflow: str, bench: Path, tmp_path: Path, commands: Commands
) -> None:
    """Its steps as they stand, run in empty folders against a bare repository; installing aside."""
    tool = tmp_path / "runner" / "tool" / "bin"
    tool.mkdir(parents=True)
    commands.write_program(tool / "trialpress")
    settings = bench / "data" / "bench.toml"
    settings.write_text(settings.read_text("utf-8").replace("your-bench.example", "b.example"))
    forge = tmp_path / "forge" / "tester" / "bench.git"
    git("init", "--quiet", "--bare", str(forge), folder=tmp_path)
    for command in (("init", "--quiet", "--initial-branch", "main"), ("add", "--all"),
                    ("commit", "--quiet", "--message", "Begin"),
                    ("push", "--quiet", str(forge), "main", "main:master")):  # fmt: skip
        git(*command, folder=bench)

    for job, branch in (("check", "main"), ("publish", "main"), ("publish", "master")):
        rehearse(steps_of(workflow, job), branch, tmp_path, f"{job}-{branch}")

    assert "My bench" in git("show", "pages:index.html", folder=forge)
    for branch in ("main", "master"):
        assert f"github.ref == 'refs/heads/{branch}'" in workflow
        assert "index.html" in git("show", f"{branch}:data/published.csv", folder=forge)
        titles = git("log", "--format=%s", branch, folder=forge).splitlines()
        assert titles == ["Record published pages", "Begin"]
    assert git("rev-list", "--count", "pages", folder=forge).strip() == "1"


def rehearse(steps: list[dict[str, Any]], branch: str, folder: Path, run: str) -> None:
    (folder / run).mkdir()
    commit = git("rev-parse", branch, folder=folder / "forge/tester/bench.git").strip()
    for step in steps:
        if step["name"] != "Install":
            subprocess.run(
                ["bash", "-e", "-c", step["run"]],
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
