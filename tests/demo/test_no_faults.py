"""The demo bench passes the checks that every bench has to pass."""

from __future__ import annotations

from datetime import date

import pytest

from trialpress.bench import Bench
from trialpress.intake import FindingCode, Severity, read_bench

from .conftest import DemoBench


def test_intake_finds_no_fault_and_only_the_warnings_that_are_meant(demo: DemoBench) -> None:
    checked = read_bench(Bench(demo.root.parent), None)

    assert {finding.severity for finding in checked.findings} == {Severity.WARNING}
    assert sorted(finding.code for finding in checked.findings) == [
        FindingCode.OVER_RECOVERED,
        FindingCode.PHOTO_LOCATION,
        *[FindingCode.RUN_FAR_OFF] * 2,  # a robot that wanders
    ]


@pytest.mark.parametrize("day", ["2024-09-14", "2025-01-18", "2025-06-21", "2026-02-07"])
def test_the_bench_was_without_faults_on_earlier_days_too(day: str, demo: DemoBench) -> None:
    checked = read_bench(Bench(demo.root.parent), date.fromisoformat(day))

    assert all(finding.severity is Severity.WARNING for finding in checked.findings)
