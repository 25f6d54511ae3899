"""The store of the demo bench with all results, and its dataset written once.

In:  the demo bench as built for all tests.
Out: fixtures ``store``, ``dataset`` (the folder) and ``listing``.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest

from demo_build import AS_OF, ROOT
from trialpress.bench import Bench
from trialpress.dataset import DatasetListing, write_dataset
from trialpress.intake.settings import read_settings
from trialpress.store import Store


@pytest.fixture(scope="session")
def store(built_demo: Path) -> Iterator[Store]:
    settings = read_settings(Bench(ROOT)).settings
    assert settings is not None
    texts = (built_demo / "dataset" / "methods").glob("*.md")
    methods = {text.stem: text.read_text("utf-8") for text in texts}
    with duckdb.connect(str(built_demo / "store.duckdb"), read_only=True) as connection:
        yield Store(connection, settings, AS_OF, methods)


@pytest.fixture(scope="session")
def dataset(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("dataset")


@pytest.fixture(scope="session")
def listing(store: Store, dataset: Path) -> DatasetListing:
    return write_dataset(store, dataset)
