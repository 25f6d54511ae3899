"""The vendored runtime: the one on record, small, licensed, and of the charts' major version."""

from __future__ import annotations

import gzip
import json
import shutil
from pathlib import Path

import pytest
import vl_convert

from trialpress.charts.vendored import VendoredFileError, check_vendored

VENDOR = Path(__file__).parents[2] / "site_templates" / "static" / "vendor"
PERMISSIVE = {"BSD-3-Clause", "ISC"}


@pytest.fixture
def vendor(tmp_path: Path) -> Path:
    return shutil.copytree(VENDOR, tmp_path / "vendor")


def packages() -> dict[str, dict[str, str]]:
    record = json.loads((VENDOR / "RECORD.json").read_text(encoding="utf-8"))
    assert record["packages"]
    return {package["name"]: package for package in record["packages"]}


def test_the_committed_files_are_the_ones_on_record() -> None:
    published = check_vendored(VENDOR)

    assert [file.name for file in published] == ["vega-runtime.js", "LICENCES.txt", "RECORD.json"]


def test_one_changed_byte_is_refused_by_name(vendor: Path) -> None:
    with (vendor / "vega-runtime.js").open("ab") as runtime:
        runtime.write(b" ")

    with pytest.raises(VendoredFileError, match=r"vega-runtime\.js: its SHA-256 is"):
        check_vendored(vendor)


@pytest.mark.parametrize("name", ["vega-runtime.js", "LICENCES.txt", "RECORD.json"])
def test_a_missing_file_is_refused_by_name(vendor: Path, name: str) -> None:
    (vendor / name).unlink()

    with pytest.raises(VendoredFileError, match=name):
        check_vendored(vendor)


def test_every_package_inside_has_a_permissive_licence_and_its_text() -> None:
    texts = (VENDOR / "LICENCES.txt").read_text(encoding="utf-8")

    for name, package in packages().items():
        assert package["licence"] in PERMISSIVE
        assert f"\n{name} {package['version']} ({package['licence']})\n" in texts


def test_the_record_and_the_lock_file_agree_on_versions() -> None:
    lock = json.loads((VENDOR / "source" / "package-lock.json").read_text(encoding="utf-8"))

    for name, package in packages().items():
        assert lock["packages"][f"node_modules/{name}"]["version"] == package["version"]


def test_the_lock_file_names_no_address_to_fetch_from() -> None:
    lock = (VENDOR / "source" / "package-lock.json").read_text(encoding="utf-8")

    assert '"resolved"' not in lock


def test_the_runtime_is_of_the_major_version_that_charts_are_compiled_for() -> None:
    # The packages of Vega 6 number themselves apart; vega-view follows the whole.
    compiled_for = vl_convert.get_vega_version().split(".")[0]

    assert packages()["vega-view"]["version"].split(".")[0] == compiled_for


def test_the_runtime_stays_small_enough_to_load_on_first_use() -> None:
    runtime = (VENDOR / "vega-runtime.js").read_bytes()

    assert len(gzip.compress(runtime, mtime=0)) < 170_000
