"""The open dataset: visible rows as typed and all results, in four formats, described.

In:  the store with every result table.
Out: a folder that a stranger can load, check and cite, and one archive of it.
"""

from trialpress.dataset.release import Release
from trialpress.dataset.subsets import write_subsets
from trialpress.dataset.writing import DatasetFile, DatasetListing, write_dataset

__all__ = ["DatasetFile", "DatasetListing", "Release", "write_dataset", "write_subsets"]
