"""The faces that every page is set in, inside the style sheet that asks for them.

In:  ``faces.css`` and ``fonts/`` of a site that is being written.
Out: that style sheet with the basic half of each face in it.

A face in a file of its own would come after the first look at a page from disk or without scripts.

Short: one reason, one function.
"""

from __future__ import annotations

import base64
import re
from pathlib import Path

BASIC = re.compile(r'url\("(fonts/(?:(?!-more)[^"])+)"\)')


def faces_css(static: Path) -> str:
    """``faces.css`` with the basic half of each face in it; the other half stays a file.

    Parameters
    ----------
    static : Path
        The folder with ``faces.css`` as it is shipped, and the files it names.

    Notes
    -----
    Source: RFC 2397, data URLs; RFC 4648, base 64.
    """

    def carried(found: re.Match[str]) -> str:
        packed = base64.b64encode((static / found[1]).read_bytes()).decode("ascii")
        return f'url("data:font/woff2;base64,{packed}")'

    return BASIC.sub(carried, (static / "faces.css").read_text(encoding="utf-8"))
