"""Publishing to a folder."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import pytest

from desk.published import publish, write_site
from flow.benches import copy_of_small_bench, files_below
from trialpress.bench import Bench
from trialpress.desk.publish.folder import (
    ManifestError,
    TakenFolderError,
    mirror,
    plan_mirror,
)
from trialpress.desk.publish.site import Site, digests
from trialpress.swap import outputs_held


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A small bench with a site of three pages, as a build leaves it."""
    bench = copy_of_small_bench(tmp_path / "bench")
    write_site(bench, {"index.html": "home", "404.html": "no", "machines/one.html": "one"})
    return bench


def test_a_folder_is_mirrored_and_other_files_in_it_stay(bench: Path, tmp_path: Path) -> None:
    www = tmp_path / "www"
    www.mkdir()
    (www / "own.html").write_text("mine", encoding="utf-8")
    (www / ".nojekyll").write_text("made by the host", encoding="utf-8")
    write_site(bench, {"index.html": "home", "machines/one.html": "one", ".nojekyll": ""})
    publish(bench, "--to-folder", str(www), "--yes")
    write_site(bench, {"index.html": "home, anew"})

    done = publish(bench, "--to-folder", str(www), "--yes", "--allow-missing")

    assert done.returncode == 0
    there = files_below(www)
    del there[".trialpress-published.json"]
    assert there.pop("own.html") == b"mine"
    assert there.pop(".nojekyll") == b"made by the host"
    there[".nojekyll"] = b""  # the site's, which had to give way
    assert there == files_below(bench / "build" / "site")
    assert not (www / "machines").exists()


def test_what_is_being_built_or_published_is_not_published_meanwhile(
    bench: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("trialpress.swap.PATIENCE_S", 0.05)
    www = tmp_path / "www"

    with ThreadPoolExecutor(1) as another, outputs_held(bench / "build"):
        waited = another.submit(publish, bench, "--to-folder", str(www), "--yes").result()
    done = publish(bench, "--to-folder", str(www), "--yes")

    assert waited.returncode == 3
    assert "is being changed by another program" in waited.stderr
    assert done.returncode == 0
    assert (www / "index.html").read_text("utf-8") == "home"


def test_halves_of_a_copy_that_was_cut_off_are_removed_and_nothing_else(
    bench: Path, tmp_path: Path
) -> None:
    www = tmp_path / "www"
    publish(bench, "--to-folder", str(www), "--yes")
    for name in ("machines/.one.html.0123456789abcdef.new", ".index.html.0123456789abcdef.new"):
        (www / name).write_text("ha", encoding="utf-8")
    theirs = {".own.html.0123456789abcdef.new": b"mine", ".index.html.new": b"mine"}
    for name, text in theirs.items():
        (www / name).write_bytes(text)

    assert publish(bench, "--to-folder", str(www), "--yes").returncode == 0

    there = files_below(www)
    del there[".trialpress-published.json"]
    assert there == {**files_below(bench / "build" / "site"), **theirs}


def test_a_file_that_somebody_else_put_or_changed_is_not_overwritten(
    bench: Path, tmp_path: Path
) -> None:
    www = tmp_path / "www"
    www.mkdir()
    (www / "index.html").write_text("mine", encoding="utf-8")

    done = publish(bench, "--to-folder", str(www), "--yes")

    assert done.returncode == 2
    assert "index.html is not as trialpress publish left it" in done.stderr
    assert files_below(www) == {"index.html": b"mine"}


def test_a_link_that_leads_out_of_the_folder_is_not_followed(bench: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "www").mkdir()
    (tmp_path / "www" / "machines").symlink_to(tmp_path / "elsewhere")

    done = publish(bench, "--to-folder", str(tmp_path / "www"), "--yes")

    assert done.returncode == 2
    assert files_below(tmp_path / "elsewhere") == {}


def site_of(bench: Path) -> Site:
    folder = bench / "build" / "site"
    return Site(folder, date(2031, 6, 7), digests(folder))


def test_a_list_of_published_files_that_names_others_removes_none(
    bench: Path, tmp_path: Path
) -> None:
    www = tmp_path / "www"
    mirror(plan_mirror(www, site_of(bench), Bench(bench)), site_of(bench))
    victim = tmp_path / "victim.txt"
    victim.write_text("mine", encoding="utf-8")
    manifest = www / ".trialpress-published.json"
    listed = json.loads(manifest.read_text("utf-8"))
    listed["files"]["../victim.txt"] = [digests(tmp_path)["victim.txt"]]
    manifest.write_text(json.dumps(listed), encoding="utf-8")

    with pytest.raises(ManifestError):
        plan_mirror(www, site_of(bench), Bench(bench))

    assert victim.read_text("utf-8") == "mine"


@pytest.mark.parametrize("place", ["data", "data/days/www", "site_templates", ".", "build/site"])
def test_a_site_is_not_published_into_what_a_bench_is_made_of(bench: Path, place: str) -> None:
    with pytest.raises(TakenFolderError):
        plan_mirror(bench / place, site_of(bench), Bench(bench))
