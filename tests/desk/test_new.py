"""A new bench passes check, builds, and its workflow puts the site on a branch."""

from __future__ import annotations

import re
import subprocess
from datetime import date
from pathlib import Path

import pytest

from trialpress.bench import TABLES, Bench
from trialpress.desk.new import FolderTakenError, new_bench
from trialpress.intake import read_bench, read_schema

TODAY = date(2031, 3, 2)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    new_bench(tmp_path / "bench", TODAY)
    return tmp_path / "bench"


def test_a_new_bench_has_no_findings(bench: Path) -> None:
    checked = read_bench(Bench(bench), None)

    assert checked.findings == ()
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
    assert "frame-ancestors 'none'" in headers
    assert "X-Content-Type-Options: nosniff" in headers
    assert "Referrer-Policy:" in headers


def test_the_workflow_runs_no_action_of_others_and_asks_for_no_more_than_it_needs(
    bench: Path,
) -> None:
    workflow = (bench / ".github/workflows/publish.yml").read_text(encoding="utf-8")

    assert "uses:" not in workflow
    assert "\npermissions: {}\n" in workflow
    assert re.findall(r"^      (\w+: write)$", workflow, re.MULTILINE) == ["contents: write"]


def git(*arguments: str, folder: Path) -> str:
    done = subprocess.run(
        ["git", *arguments], cwd=folder, check=True, capture_output=True, text=True
    )
    return done.stdout


def last_step(bench: Path) -> str:
    """The script that puts the site on its branch."""
    workflow = (bench / ".github/workflows/publish.yml").read_text(encoding="utf-8")
    script = workflow.split("- name: Put the site on the branch\n        run: |\n")[1]
    return "\n".join(line[10:] for line in script.splitlines())


def pushed(remote: Path, bench: Path, folder: Path) -> None:
    """What the workflow does after a push: fetch, build (here one page), run the last step."""
    folder.mkdir()
    git("init", "--quiet", ".", folder=folder)
    git("remote", "add", "origin", str(remote), folder=folder)
    git("fetch", "--quiet", "--depth", "1", "origin", "main", folder=folder)
    git("checkout", "--quiet", "--detach", "FETCH_HEAD", folder=folder)
    (folder / "build" / "site").mkdir(parents=True)
    (folder / "build" / "site" / "index.html").write_text(folder.name, encoding="utf-8")
    subprocess.run(
        ["bash", "-e", "-c", last_step(bench)],
        cwd=folder,
        check=True,
        env={"PATH": "/usr/bin:/bin", "TOKEN": "none", "GITHUB_SHA": folder.name},
    )


def test_the_workflow_adds_a_commit_to_the_branch_where_the_site_has_changed(
    bench: Path, tmp_path: Path
) -> None:
    remote = tmp_path / "remote.git"
    git("init", "--quiet", "--bare", str(remote), folder=tmp_path)
    git("init", "--quiet", "--initial-branch", "main", ".", folder=bench)
    git("config", "user.name", "tester", folder=bench)
    git("config", "user.email", "tester@bench.example", folder=bench)
    git("add", "--all", folder=bench)
    git("commit", "--quiet", "--message", "Start", folder=bench)
    git("push", "--quiet", str(remote), "main", folder=bench)

    pushed(remote, bench, tmp_path / "first")
    pushed(remote, bench, tmp_path / "second")

    assert git("show", "pages:index.html", folder=remote) == "second"
    assert git("ls-tree", "--name-only", "pages", folder=remote).split() == [
        ".nojekyll",
        "index.html",
    ]
    titles = git("log", "--format=%s", "pages", folder=remote).splitlines()
    assert titles == ["Site of second", "Site of first"]
