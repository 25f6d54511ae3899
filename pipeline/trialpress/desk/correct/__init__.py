"""A correction in the open: checked, shown with everything it changes, then written.

In:  which cell is wrong, what it should say, and why.
Out: lines for ``corrections.csv``, and what of the public figures changes with them.

Where to look::

    correction  whether it may be made, and its lines
    effects     every public figure before and after, and the sentences about them
"""

from __future__ import annotations

from trialpress.desk.correct.correction import (
    CorrectionRequest,
    ProposedCorrection,
    propose,
    write_correction,
)

__all__ = ["CorrectionRequest", "ProposedCorrection", "propose", "write_correction"]
