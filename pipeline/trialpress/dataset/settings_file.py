"""What figures depend on beside the rows, in the form of a bench's own ``bench.toml``.

In:  the settings.
Out: the text of a file with the settings that decide figures or say whose they are, and no others:
     a bench may have settings that name something hidden.

Short: written by the dataset, read again by intake where a dataset is verified.
Source: TOML 1.0; a JSON string is a TOML string, but for the delete character, which is escaped.
"""

from __future__ import annotations

import json

from trialpress.bench import Settings

SETTINGS_FILE = "bench.toml"
PUBLISHED = (
    "format",
    "name",
    "base_url",
    "time_zone",
    "licence",
    "contact",
    "currency",
    "top_n",
    "confidence",
    "disclosure",
    "notice",
    "single_runs",
    "overall",
    "show_operators",
)


def settings_text(settings: Settings) -> str:
    """The text of the dataset's ``bench.toml``; what is not set is left out."""
    values = {key: getattr(settings, key) for key in PUBLISHED}
    lines = [f"{key} = {_toml(value)}\n" for key, value in values.items() if value is not None]
    return "".join(lines)


def _toml(value: object) -> str:
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
