"""What a package's own descriptor may say: it may add, never loosen, never reach out.

In:  ``datapackage.json`` of the catalogue or a day.
Out: findings.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from examples import examples
from intake.broken import BASE
from trialpress.bench import DAY_TABLES
from trialpress.intake import FindingCode, read_schema_text
from trialpress.intake.descriptors import check_descriptor
from trialpress.intake.folder import Package
from trialpress.paths import Destination, destination_of

PORCH = BASE / "data/days/2031-03-09-porch"
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                ["name", "path", "schema", "fields", "resources", "licenses", "type", "sources"]
            ),
            inner,
            max_size=4,
        )
    ),
    max_leaves=12,
)


def codes(descriptor: object, folder: Path) -> set[FindingCode]:
    for table in ("weighings", "values", "counts"):
        (folder / f"{table}.csv").write_bytes((PORCH / f"{table}.csv").read_bytes())
    (folder / "datapackage.json").write_text(json.dumps(descriptor), encoding="utf-8")
    package = Package(folder, "data/days/2031-03-09-porch", DAY_TABLES)
    return {finding.code for finding in check_descriptor(package)}


def resource(**more: Any) -> dict[str, Any]:  # noqa: ANN401, it is JSON
    return {"resources": [{"name": "counts", "path": "counts.csv"} | more]}


def own_schema() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(read_schema_text("counts"))
    return found


@pytest.mark.parametrize(
    "descriptor",
    [
        {},
        {"name": "porch", "title": "An evening on the porch"},
        {
            "$schema": "https://datapackage.org/profiles/2.0/datapackage.json",
            "licenses": [{"name": "CC-BY-4.0", "path": "https://licence.example/by/4.0/"}],
            "sources": [{"title": "The film", "path": "https://film.example/porch"}],
        },
        resource(title="Hair", sources=[{"title": "The film"}]),
        resource(encoding="utf-8", dialect={"csv": {"delimiter": ","}, "header": True}),
        resource(schema=own_schema()),
        resource(schema={"fields": own_schema()["fields"][:3]}),
        resource(schema={"primaryKey": "run"}),
        {"resources": [{"name": "note", "path": "datapackage.json"}]},
    ],
)
def test_a_descriptor_may_add_what_the_tool_does_not_know(
    descriptor: dict[str, Any], tmp_path: Path
) -> None:
    assert codes(descriptor, tmp_path) == set()


def loosened(column: str, **changes: object) -> dict[str, Any]:
    schema = own_schema()
    field = next(field for field in schema["fields"] if field["name"] == column)
    field.update(changes)
    return resource(schema=schema)


@pytest.mark.parametrize(
    "descriptor",
    [
        loosened("hits", type="string"),
        loosened("hits", constraints={}),
        loosened("hits", constraints={"minimum": -5, "maximum": 1000000}),
        loosened("status", constraints={"required": False}),
        loosened("at", format="any"),
        loosened("hits", name="strikes"),
        resource(schema={"missingValues": ["", "x"]}),
        resource(schema={"fieldsMatch": ["partial"]}),
        resource(schema="counts.json"),
        resource(dialect={"delimiter": ";"}),
        resource(dialect="dialect.json"),
        resource(encoding="cp1252"),
    ],
)
def test_a_descriptor_never_loosens_or_renames(descriptor: dict[str, Any], tmp_path: Path) -> None:
    assert codes(descriptor, tmp_path) == {FindingCode.DESCRIPTOR_SCHEMA}


@pytest.mark.parametrize(
    ("path", "destination"),
    [
        ("counts.csv", Destination.INSIDE),
        ("photos/a b.jpg", Destination.INSIDE),
        ("./counts.csv", Destination.INSIDE),
        ("a..b/c.csv", Destination.INSIDE),
        ("../counts.csv", Destination.OUTSIDE),
        ("photos/../../x", Destination.OUTSIDE),
        ("..\\counts.csv", Destination.OUTSIDE),
        ("/etc/hosts", Destination.OUTSIDE),
        ("\\windows", Destination.OUTSIDE),
        ("C:\\x.csv", Destination.OUTSIDE),
        ("C:x.csv", Destination.OUTSIDE),
        ("~/x.csv", Destination.OUTSIDE),
        ("a\0b", Destination.OUTSIDE),
        ("http://x.example/a.csv", Destination.NETWORK),
        ("HTTPS://x.example/a.csv", Destination.NETWORK),
        ("ftp://x.example/a.csv", Destination.NETWORK),
        ("file:///etc/hosts", Destination.NETWORK),
        ("s3://bucket/a.csv", Destination.NETWORK),
        ("data:text/csv,a", Destination.NETWORK),
        ("//x.example/a.csv", Destination.NETWORK),
        ("\\\\server\\share", Destination.NETWORK),
    ],
)
def test_paths_stay_inside_or_are_told(path: str, destination: Destination, tmp_path: Path) -> None:
    assert destination_of(path, tmp_path) is destination


def test_a_link_that_leads_nowhere_is_outside(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to(tmp_path / "b")
    (tmp_path / "b").symlink_to(tmp_path / "a")

    assert destination_of("a/x.csv", tmp_path) is Destination.OUTSIDE


def test_a_link_that_leads_out_is_outside(tmp_path: Path) -> None:
    (tmp_path / "inside").mkdir()
    (tmp_path / "inside" / "link").symlink_to(tmp_path / "elsewhere")

    assert destination_of("link/x.csv", tmp_path / "inside") is Destination.OUTSIDE


@pytest.mark.parametrize("key", ["path", "schema", "dialect", "profile", "extrapaths"])
def test_whatever_key_reaches_to_the_network_it_is_refused(key: str, tmp_path: Path) -> None:
    address = "https://x.example/a"
    value = [address] if key == "extrapaths" else address

    assert FindingCode.DESCRIPTOR_NETWORK in codes(resource(**{key: value}), tmp_path)


@pytest.mark.parametrize("value", [None, 1, "x", [1], {"a": 1}])
@pytest.mark.parametrize("key", ["type", "contributors", "sources", "licenses", "name", "path"])
def test_a_resource_of_odd_parts_is_told(key: str, value: object, tmp_path: Path) -> None:
    assert codes(resource(**{key: value}), tmp_path) <= set(FindingCode)


def test_a_folder_in_place_of_a_descriptor_is_told(tmp_path: Path) -> None:
    (tmp_path / "datapackage.json").mkdir()

    (finding,) = check_descriptor(Package(tmp_path, "data/catalogue", DAY_TABLES))

    assert finding.code is FindingCode.FILE_UNREADABLE


@settings(max_examples=examples(80), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(descriptor=JSON)
def test_no_json_makes_the_check_fail(descriptor: object, tmp_path: Path) -> None:
    assert codes(descriptor, tmp_path) <= set(FindingCode)
