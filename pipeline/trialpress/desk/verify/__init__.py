"""A dataset verified: its files whole, its formats alike, its results re-derived from its rows.

In:  a dataset as a zip from anywhere, or as a folder.
Out: a verdict, with every difference by table, row, column and both values.
"""

from trialpress.desk.verify.differences import Difference
from trialpress.desk.verify.verifying import (
    NoDatasetError,
    Verification,
    VerificationOutcome,
    verify_dataset,
)

__all__ = ["Difference", "NoDatasetError", "Verification", "VerificationOutcome", "verify_dataset"]
