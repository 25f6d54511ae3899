"""The demo bench as a store with all results, and its dataset written once.

In:  the repository's own bench folder.
Out: fixtures ``store``, ``dataset`` (the folder) and ``listing``.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from dataset.demo import demo_store
from trialpress.dataset import DatasetListing, write_dataset
from trialpress.store import Store


@pytest.fixture(scope="session")
def store() -> Iterator[Store]:
    built = demo_store(date(2099, 1, 1))
    yield built
    built.connection.close()


@pytest.fixture(scope="session")
def dataset(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("dataset")


@pytest.fixture(scope="session")
def listing(store: Store, dataset: Path) -> DatasetListing:
    return write_dataset(store, dataset)
