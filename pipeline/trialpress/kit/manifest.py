"""What a kit says of itself: what it was asked for, as of when, from which rows, and its files.

In:  a kit's ``kit.json``.
Out: ``Manifest``, read and written; a digest of the rows that a kit is made from.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Any

from trialpress.bench import TABLES
from trialpress.kit.drawing import Drawn
from trialpress.kit.request import KitRequest
from trialpress.store import Store

MANIFEST = "kit.json"
FORMAT = 1


@dataclass(frozen=True)
class Manifest:
    """One kit; ``rows`` is the digest of the visible rows, ``embargo`` a date or blank."""

    request: KitRequest
    as_of: str
    rows: str
    embargo: str
    not_shown: tuple[tuple[str, str], ...] = ()
    warnings: tuple[str, ...] = ()
    drawn: Mapping[str, Drawn] = field(default_factory=dict)

    @property
    def text(self) -> str:
        """As JSON."""
        content = {"format": FORMAT, **asdict(self)}
        return json.dumps(content, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def read_manifest(kit: Path) -> Manifest | None:
    """What a kit says of itself; None where it is none, or is of another form."""
    try:
        content = json.loads((kit / MANIFEST).read_text("utf-8"))
        return _manifest(content) if content["format"] == FORMAT else None
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _manifest(content: dict[str, Any]) -> Manifest:
    asked = content["request"]
    return Manifest(
        request=KitRequest(
            asked["setup"],
            asked["maker"],
            asked["top"],
            tuple(asked["protocols"]),
            tuple(asked["against"]),
        ),
        as_of=content["as_of"],
        rows=content["rows"],
        embargo=content["embargo"],
        drawn={place: Drawn(**one) for place, one in content["drawn"].items()},
    )


def existing_kits(folder: Path) -> Iterator[tuple[str, Manifest]]:
    """The kits in the folder of kits, by name."""
    if not folder.is_dir():
        return
    for kit in sorted(folder.iterdir()):
        manifest = None if kit.name.startswith(".") else read_manifest(kit)
        if manifest is not None:
            yield kit.name, manifest


def rows_digest(store: Store) -> str:
    """A digest of every visible row as it was typed, and of what the bench says of itself."""
    digest = sha256(repr(store.settings).encode())
    for table in TABLES:
        sql = f'select * from as_typed."{table}" order by source_file, source_row'  # noqa: S608
        for row in store.connection.execute(sql).fetchall():
            digest.update(repr(row).encode())
    return digest.hexdigest()
