"""The style sheets as a site carries them: with the faces inside, without comments and indents.

In:  a style sheet of a site that is being written, with the files it names beside it.
Out: the same rules in fewer bytes, and with the basic half of each face in them.

A face in a file of its own would come after the first look at a page from disk or without scripts.

Short: one reason, one function.
"""

from __future__ import annotations

import base64
import re
from pathlib import Path

BASIC = re.compile(r'url\("(fonts/(?:(?!-more)[^"])+)"\)')
COMMENT = re.compile(r"/\*.*?\*/\n?", re.DOTALL)
INDENT = re.compile(r"\n\s*")


def style_of(sheet: Path) -> str:
    """A style sheet without comments and indents; the half of a face that has accents stays a file.

    Parameters
    ----------
    sheet : Path
        The style sheet as it is shipped.

    Notes
    -----
    Source: RFC 2397, data URLs; RFC 4648, base 64.
    """

    def carried(found: re.Match[str]) -> str:
        packed = base64.b64encode((sheet.parent / found[1]).read_bytes()).decode("ascii")
        return f'url("data:font/woff2;base64,{packed}")'

    rules = COMMENT.sub("", sheet.read_text(encoding="utf-8"))
    return BASIC.sub(carried, INDENT.sub("\n", rules).lstrip())
