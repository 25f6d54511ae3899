"""An existing spreadsheet brought into day folders.

In:  a file somebody kept for years, a mapping, a bench.
Out: an ``Adoption``: what was understood and what was not, row by row; when written, rows in day
     folders, the file itself in ``data/adopted/``, and where each row came from.
"""

from __future__ import annotations

from trialpress.desk.adopt.adoption import Adoption, Wish, adopt, write_adoption
from trialpress.desk.adopt.mapping import Mapping, read_mapping

__all__ = ["Adoption", "Mapping", "Wish", "adopt", "read_mapping", "write_adoption"]
