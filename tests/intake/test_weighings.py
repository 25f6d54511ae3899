"""Rules for weighings, on single rows.

In:  weighings typed for the purpose. d is the balance's resolution.
Out: findings with row and both values.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.typed_rows import records_of, typed_row
from trialpress.intake import Finding, FindingCode
from trialpress.intake.rules.weighings import check_weighings

BALANCE = typed_row("instruments", resolution="0.1")
FINE_SCALE = typed_row("instruments", 3, instrument="fine-scale", resolution="0.01")
COLLECTED = typed_row("protocols")
LEFT = typed_row("protocols", 3, protocol="edges", reading="left")


def check(*, row: int = 2, **cells: str | None) -> list[Finding]:
    weighing = typed_row("weighings", row, **cells)
    return list(check_weighings(records_of(BALANCE, FINE_SCALE, COLLECTED, LEFT, weighing)))


def test_swapped_masses_are_found_with_row_and_both_values() -> None:
    (finding,) = check(row=14, before_g="260.10", after_g="212.40")

    assert finding.code is FindingCode.MASS_LOST
    assert finding.row == 14
    assert finding.value == "212.40"
    # 260.10 - 212.40 = 47.70, with the digits that were typed
    assert finding.text == (
        "data/days/2031-03-02-hall/weighings.csv, row 14, after_g: "
        "212.40 is less than before_g 260.10\n"
        "  A container cannot lose 47.70 g in a run. "
        "Swap the two readings, or mark the run void with a reason."
    )


@pytest.mark.parametrize(
    ("after_g", "codes"),
    [
        # u of a difference = d / sqrt(6) = 0.0408 g for d = 0.1 g (GUM 4.3.7); 3 u = 0.122 g
        ("100.0", []),
        ("99.9", []),
        ("99.8", [FindingCode.MASS_LOST]),
    ],
)
def test_a_loss_within_three_uncertainties_is_no_loss(
    after_g: str, codes: list[FindingCode]
) -> None:
    findings = check(before_g="100.0", after_g=after_g)

    assert [finding.code for finding in findings] == codes


def test_without_a_balance_the_masses_are_compared_as_they_stand() -> None:
    (finding,) = check(before_g="100.0", after_g="99.9", instrument=None)

    assert finding.code is FindingCode.MASS_LOST
    assert "the balance is not named" in finding.problem


def test_a_container_may_lose_what_the_untreated_control_lost() -> None:
    assert check(before_g="100.0", after_g="98.0", blank_g="-2.0") == []


@pytest.mark.parametrize(
    ("after_g", "codes"),
    [
        # gain - dose; u = 0.1 * sqrt(1/6 + 1/12) = 0.05 g, dose by one reading; 3 u = 0.15 g
        ("120.1", []),
        ("120.2", [FindingCode.OVER_RECOVERED]),
    ],
)
def test_pickup_above_the_dose_is_a_warning_beyond_three_uncertainties(
    after_g: str, codes: list[FindingCode]
) -> None:
    findings = check(before_g="100.0", after_g=after_g)

    assert [finding.code for finding in findings] == codes
    assert all(finding.severity == "warning" for finding in findings)


def test_a_dose_by_difference_is_less_sure_than_one_by_reading() -> None:
    # u = 0.1 * sqrt(1/6 + 1/6) = 0.0577 g, 3 u = 0.173 g; by one reading 3 u = 0.15 g
    by_reading = check(before_g="100.00", after_g="120.16")
    by_difference = check(before_g="100.00", after_g="120.16", dose_by="difference")

    assert [finding.code for finding in by_reading] == [FindingCode.OVER_RECOVERED]
    assert by_difference == []


def test_two_calibrated_balances_may_disagree_by_their_scales() -> None:
    # gain 20.4 g on one, dose 20.00 g on another; each scale 1 %: u >= 20.4 * 0.01 * sqrt(2) = 0.29
    scales = [
        typed_row("instruments", calibration_u="0.01"),
        typed_row("instruments", 3, instrument="other-balance", calibration_u="0.01"),
    ]
    on_one = typed_row("weighings", before_g="100.0", after_g="120.4")
    on_two = replace(on_one, cells={**on_one.cells, "dose_instrument": "other-balance"})

    assert not list(check_weighings(records_of(*scales, COLLECTED, on_two)))
    assert list(check_weighings(records_of(*scales, COLLECTED, on_one)))


def test_a_lighter_panel_means_more_than_all_was_picked_up() -> None:
    (finding,) = check(protocol="edges", before_g="800.0", after_g="799.0")

    assert finding.code is FindingCode.OVER_RECOVERED


def test_more_left_than_spread_is_a_warning() -> None:
    (finding,) = check(protocol="edges", gain_g="21.0")

    assert (finding.code, finding.severity) == (FindingCode.LEFT_ABOVE_DOSE, "warning")


@pytest.mark.parametrize("dose_g", ["19.5", "20.5", "20.50"])
def test_a_dose_at_the_edge_of_its_tolerance_is_inside(dose_g: str) -> None:
    assert check(dose_g=dose_g, gain_g="10.0") == []


@pytest.mark.parametrize(("dose_g", "off"), [("19.4", "0.6"), ("20.51", "0.51")])
def test_a_dose_outside_its_tolerance_is_found(dose_g: str, off: str) -> None:
    (finding,) = check(dose_g=dose_g, gain_g="10.0")

    assert finding.code is FindingCode.DOSE_OUTSIDE_TOLERANCE
    assert f"{dose_g} is {off} g from the dose" in finding.problem


@pytest.mark.parametrize("status", ["void", "planned"])
def test_runs_that_do_not_count_are_not_checked(status: str) -> None:
    assert check(status=status, before_g="260.1", after_g="212.4", dose_g="90") == []


@given(
    before=st.decimals("0", "5000", places=2),
    gain=st.decimals("0", "20", places=2),
)
def test_masses_that_grow_by_no_more_than_the_dose_are_never_a_fault(
    before: Decimal, gain: Decimal
) -> None:
    assert check(before_g=f"{before:f}", after_g=f"{before + gain:f}") == []
