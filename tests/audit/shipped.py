"""What a wheel of the project carries and needs: a bill of materials, in CycloneDX 1.6.

In:  ``requirements.txt`` with the packages of this environment, the records of vendored scripts,
     the faces.
Out: ``SBOM.cdx.json`` beside this: each with its version and licence, as its own makers state it.
     It has no date and no random number in it, so that it changes only with what it lists.

Run as ``make sbom``, after a change of the lock or of what is vendored.
"""

from __future__ import annotations

import json
import re
import sys
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import PackageMetadata, metadata
from pathlib import Path

import cyclonedx.schema
from jsonschema import Draft7Validator
from license_expression import get_spdx_licensing
from referencing import Registry

ROOT = Path(__file__).parents[2]
FILE = Path(__file__).with_name("SBOM.cdx.json")
STATIC = ROOT / "site_templates" / "static"
RECORDS = (STATIC / "vendor/RECORD.json", STATIC / "vendor/sqlite/RECORD.json")
FACES = {"Aleo": "OFL-1.1", "Roboto Slab": "Apache-2.0", "Sometype Mono": "OFL-1.1"}
"""The faces of pages and stills; each licence lies beside its face."""
NO_PACKAGE = frozenset(
    {"sqlite"}
)  # of the vendored; it is part of one, and has a licence of its own
PIN = re.compile(r"^([A-Za-z0-9._-]+)==([^ \\;]+)", re.MULTILINE)
SPDX = get_spdx_licensing()
OF_CLASSIFIER = {"MIT License": "MIT", "Apache Software License": "Apache-2.0"}


@dataclass(frozen=True, order=True)
class Part:
    """One thing that is shipped or needed; ``licence`` an SPDX expression or its makers' words."""

    kind: str
    name: str
    version: str
    licence: str


def parts() -> list[Part]:
    """Everything, in order."""
    return sorted({*needed(), *vendored(), *faces()})


def needed() -> Iterator[Part]:
    """The packages that the lock names."""
    for name, version in PIN.findall((ROOT / "requirements.txt").read_text("utf-8")):
        yield Part("pypi", name, version, _licence_of(name))


def vendored() -> Iterator[Part]:
    """The packages that readers' scripts are made of."""
    for record in RECORDS:
        for package in json.loads(record.read_text("utf-8"))["packages"]:
            kind = "generic" if package["name"] in NO_PACKAGE else "npm"
            yield Part(kind, package["name"], package["version"], package["licence"])


def faces() -> Iterator[Part]:
    """The faces."""
    for name, licence in FACES.items():
        yield Part("face", name, "", licence)


def _licence_of(package: str) -> str:
    """What a package says of itself: an expression, a short name, or its classifiers."""
    own = metadata(package)
    expression, name = (_first(own, key) for key in ("License-Expression", "License"))
    stated = [
        text.rpartition(" :: ")[2]
        for text in own.get_all("Classifier") or []
        if text.startswith("License ::")
    ]
    return (
        expression
        or (name if _is_expression(name) else "")
        or (OF_CLASSIFIER.get(stated[0], stated[0]) if stated else "")
        or name.partition("\n")[0]
    )


def _first(own: PackageMetadata, key: str) -> str:
    return next(iter(own.get_all(key) or []), "").strip()


def _is_expression(text: str) -> bool:
    return bool(text) and "\n" not in text and not SPDX.validate(text).errors


def _component(part: Part) -> dict[str, object]:
    licence = (
        {"expression": part.licence}
        if _is_expression(part.licence)
        else {"license": {"name": part.licence}}
    )
    component: dict[str, object] = {
        "type": "file" if part.kind == "face" else "library",
        "bom-ref": f"{part.kind}:{part.name}@{part.version}",
        "name": part.name,
        "licenses": [licence],
    }
    if part.kind != "face":
        quoted = part.name.replace("@", "%40")
        component |= {"version": part.version, "purl": f"pkg:{part.kind}/{quoted}@{part.version}"}
    return component


def bill() -> str:
    """The whole file."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    content = {
        "$schema": "http://cyclonedx.org/schema/bom-1.6.schema.json",
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {
            "component": {
                "type": "application",
                "bom-ref": "trialpress",
                "name": project["name"],
                "licenses": [{"expression": project["license"]}],
            }
        },
        "components": [_component(part) for part in parts()],
    }
    return json.dumps(content, indent=1, ensure_ascii=False) + "\n"


def main() -> None:
    """Write the file, if it is what the standard's schema asks for."""
    text = bill()
    for fault in validator().iter_errors(json.loads(text)):
        sys.exit(f"The bill of materials is not valid: {fault.json_path}: {fault.message}")
    FILE.write_text(text, encoding="utf-8")


def validator() -> Draft7Validator:
    """The schema of CycloneDX 1.6, as its library ships it."""
    folder = Path(cyclonedx.schema.__file__).parent / "_res"
    schemas = {
        file.name.partition(".SNAPSHOT")[0]: json.loads(file.read_text("utf-8"))
        for file in folder.glob("*.schema.json")
    }
    known = Registry().with_contents((schema["$id"], schema) for schema in schemas.values())
    return Draft7Validator(schemas["bom-1.6"], registry=known)


if __name__ == "__main__":
    main()
