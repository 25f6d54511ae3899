"""A real cluster of two workers makes products; one that is killed costs time, no page.

That the bytes are those of one machine is in ``test_rebuild.py``.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from flow.on_workers import ends_a_worker, made_by
from trialpress import cluster as clusters
from trialpress.cache import Cache
from trialpress.cluster import ClusterError, NoClusterError, cluster

NOTHING_KEPT = Cache(Path("/dev/null"))


def test_the_workers_of_a_cluster_make_products(scheduler: str) -> None:
    with cluster(NOTHING_KEPT, scheduler) as products:
        assert products.make(made_by, ["a", "b"], each_s=0.001) == [b"a there", b"b there"]
        assert products.workers == 2


def test_what_a_killed_worker_had_is_made_here(scheduler: str) -> None:
    with cluster(NOTHING_KEPT, scheduler) as products:
        made = products.make(ends_a_worker, list("abcdefgh"), each_s=0.001)

    assert [product[:1] for product in made] == [name.encode() for name in "abcdefgh"]
    assert made[3] == b"d here"


def test_a_worker_with_another_program_makes_nothing(
    scheduler: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clusters, "program_digest", lambda: b"of another version")
    with (
        cluster(NOTHING_KEPT, scheduler) as products,
        pytest.raises(ClusterError, match=r"The worker at tcp://\S+ has another Trialpress"),
    ):
        products.make(made_by, ["a"], each_s=0.001)


@pytest.mark.parametrize("address", ["nonsense", "127.0.0.1:8786", "foo://127.0.0.1:1", "tcp://a"])
def test_an_address_without_a_form_is_refused(address: str) -> None:
    with pytest.raises(NoClusterError, match="looks like tcp://"), cluster(NOTHING_KEPT, address):
        pass


def test_a_scheduler_that_does_not_answer_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clusters, "LONGEST_S", 0.1)
    with (
        pytest.raises(ClusterError, match=r"No scheduler answers at tcp://127\.0\.0\.1:1\."),
        cluster(NOTHING_KEPT, "tcp://127.0.0.1:1"),
    ):
        pass


def test_missing_libraries_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with (
        pytest.raises(NoClusterError, match="needs Dask, the extra “cluster”"),
        cluster(NOTHING_KEPT, "tcp://127.0.0.1:1"),
    ):
        pass
