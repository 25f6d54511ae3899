"""What a package's own ``datapackage.json`` may and may not say.

In:  the catalogue's or a day's folder; most have no descriptor, the tool then supplies it all.
Out: findings. A descriptor may add a title, sources, a licence; the tool's schemas rule: what it
     leaves out is supplied, what it does say must agree. Nothing outside the folder is ever opened
     because of it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from trialpress.bench import TABLES
from trialpress.intake.findings import Finding, FindingCode, Place, found
from trialpress.intake.folder import Package
from trialpress.intake.schemas import read_schema_text
from trialpress.intake.textfile import read_text
from trialpress.paths import Destination, destination_of

Json = Mapping[str, Any]
FILE_NAME = "datapackage.json"
_STANDARD_PROFILES = "https://datapackage.org/profiles/"
_OPENED = ("path", "extrapaths", "schema", "dialect", "profile", "$schema", "jsonschema", "data")
_OUTWARD = {
    Destination.NETWORK: FindingCode.DESCRIPTOR_NETWORK,
    Destination.OUTSIDE: FindingCode.DESCRIPTOR_OUTSIDE,
}
_RULED = ("type", "format", "constraints", "trueValues", "falseValues", "missingValues")
_DIALECT: Mapping[str, Sequence[object]] = {
    "delimiter": [","],
    "quoteChar": ['"'],
    "doubleQuote": [True],
    "skipInitialSpace": [False],
    "header": [True],
    "headerRows": [[1]],
    "lineTerminator": ["\n", "\r\n"],
}


@dataclass(frozen=True)
class Contradiction:
    """Which key of the resource disagrees, in what, and which sentence says so."""

    key: str
    value: str
    variant: str


def check_descriptor(package: Package) -> Iterator[Finding]:
    """Check one package's descriptor, if it has one."""
    path = package.folder / FILE_NAME
    if not path.exists():
        return
    place = Place(f"{package.name}/{FILE_NAME}")
    read = read_text(path, place.file)
    yield from read.findings
    if read.text is None:
        return
    try:
        descriptor = json.loads(read.text)
    except (ValueError, RecursionError) as error:
        row = error.lineno if isinstance(error, json.JSONDecodeError) else None
        yield found(FindingCode.DESCRIPTOR_SYNTAX, Place(place.file, row))
        return
    yield from _check(descriptor, package, place)


def _check(descriptor: object, package: Package, place: Place) -> Iterator[Finding]:
    """Check what must be right before anything else looks at it, then the rest."""
    if not isinstance(descriptor, dict):
        yield found(FindingCode.DESCRIPTOR_INVALID, place, note="it is no JSON object")
        return
    resources = descriptor.get("resources", [])
    if not isinstance(resources, list) or not all(isinstance(item, dict) for item in resources):
        yield found(FindingCode.DESCRIPTOR_INVALID, place, note="resources is no list of objects")
        return
    reaching = [
        finding for item in (descriptor, *resources) for finding in _reaching(item, package, place)
    ]
    yield from reaching
    if reaching:
        return
    for resource in resources:
        yield from _check_resource(resource, package, place)
    yield from _check_metadata(descriptor, resources, place)


def _reaching(item: Json, package: Package, place: Place) -> Iterator[Finding]:
    """Name each path that leads out of the package's folder."""
    for key in _OPENED:
        value = item.get(key)
        for path in value if isinstance(value, list) else [value]:
            if isinstance(path, str) and not path.startswith(_STANDARD_PROFILES):
                destination = destination_of(path, package.folder)
                if destination in _OUTWARD:
                    yield found(_OUTWARD[destination], Place(place.file, column=key), path)


def _check_resource(resource: Json, package: Package, place: Place) -> Iterator[Finding]:
    path = resource.get("path")
    if not isinstance(path, str) or "data" in resource:
        yield found(FindingCode.DESCRIPTOR_FILES, place, str(resource.get("name")), variant="data")
        return
    if not (package.folder / path).is_file():
        yield found(FindingCode.DESCRIPTOR_FILES, place, path)
        return
    table = _table_of(path)
    if table is None:
        return
    if table not in package.tables:
        yield found(FindingCode.DESCRIPTOR_FILES, place, path, variant="place")
        return
    for contradiction in contradictions(resource, json.loads(read_schema_text(table))):
        yield found(
            FindingCode.DESCRIPTOR_SCHEMA,
            Place(place.file, column=contradiction.key),
            contradiction.value,
            variant=contradiction.variant,
            path=path,
        )


def _table_of(path: str) -> str | None:
    table = path.removesuffix(".csv")
    return table if table in TABLES and path.endswith(".csv") else None


def _check_metadata(descriptor: Json, resources: list[Json], place: Place) -> Iterator[Finding]:
    """Have the rest of it checked against the Data Package standard."""
    own = {key: value for key, value in descriptor.items() if key not in ("$schema", "profile")}
    own["resources"] = [_without_schema(resource) for resource in resources] or [
        {"name": "supplied", "path": "supplied.csv"}
    ]
    for note in _notes(own):
        yield found(FindingCode.DESCRIPTOR_INVALID, place, note=note)


def _notes(descriptor: Json) -> list[str]:
    from frictionless import FrictionlessException, Package  # noqa: PLC0415, slow to import

    try:
        return [error.note for error in Package.metadata_validate(descriptor)]
    except FrictionlessException as error:
        return [error.error.note]
    except (AttributeError, TypeError):  # the library trips over lists that hold no objects
        return ["contributors, sources and licences are lists of objects"]


def _without_schema(resource: Json) -> dict[str, Any]:
    ruled = ("schema", "dialect", "profile", "$schema")
    return {key: value for key, value in resource.items() if key not in ruled}


def contradictions(resource: Json, ours: Json) -> Iterator[Contradiction]:
    """Compare a resource's encoding, dialect and schema with the tool's own."""
    encoding = resource.get("encoding", "utf-8")
    if str(encoding).lower().replace("_", "-") not in ("utf-8", "utf8"):
        yield Contradiction("encoding", str(encoding), "format")
    yield from _dialect(resource.get("dialect", {}))
    schema = resource.get("schema", {})
    if not isinstance(schema, dict):
        yield Contradiction("schema", str(schema), "file")
        return
    yield from _keys(schema, ours)
    yield from _fields(schema.get("fields", []), ours)


def _dialect(dialect: object) -> Iterator[Contradiction]:
    if not isinstance(dialect, dict):
        yield Contradiction("dialect", str(dialect), "format")
        return
    for key, value in dialect.items():
        if key == "csv" and isinstance(value, dict):
            yield from _dialect(value)
        elif value not in _DIALECT.get(key, ()):
            yield Contradiction("dialect", f"{key} {json.dumps(value)}", "format")


def _keys(schema: Json, ours: Json) -> Iterator[Contradiction]:
    for key in ("primaryKey", "foreignKeys", "missingValues"):
        given = schema.get(key, ours.get(key))
        listed = [given] if isinstance(given, str) else given
        if listed != ours.get(key):
            yield Contradiction("schema", key, "")
    if schema.get("fieldsMatch", "exact") not in ("exact", ["exact"]):
        yield Contradiction("schema", "fieldsMatch", "")


def _fields(fields: object, ours: Json) -> Iterator[Contradiction]:
    own = {field["name"]: field for field in ours["fields"]}
    for field in fields if isinstance(fields, list) else [fields]:
        name = field.get("name") if isinstance(field, dict) else field
        if not isinstance(name, str) or name not in own or not isinstance(field, dict):
            yield Contradiction("schema", str(name), "renamed")
        elif any(field.get(key) != own[name].get(key) for key in _RULED):
            yield Contradiction("schema", name, "")
