"""Results as rules see them: plausible or not, far from the others, and which slip it was."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.robust.scale import Huber

from intake.broken import BASE
from intake.typed_rows import records_of, typed_row
from trialpress.bench import Bench
from trialpress.intake import FindingCode, read_bench
from trialpress.intake.folder import list_bench
from trialpress.intake.rows import Row
from trialpress.intake.rules.containers import check_containers
from trialpress.intake.rules.far_off import algorithm_a, check_far_off
from trialpress.intake.rules.records import gather_records
from trialpress.intake.rules.result import check_results, results_of
from trialpress.intake.typed import read_typed
from trialpress.measure import measure_runs
from trialpress.store import build_store

PICKUP = typed_row("protocols")


def weighings(
    *gains: str, setup: str = "one-stock", first: int = 2, dose: str = "20.0"
) -> list[Row]:
    """Runs of one set-up whose container weighs 260.0 g."""
    return [
        typed_row(
            "weighings", row, run=f"{setup}-{row}", setup=setup, replicate=None, dose_g=dose,
            before_g="260.0", after_g=f"{Decimal('260.0') + Decimal(gain):f}",
        )
        for row, gain in enumerate(gains, first)
    ]  # fmt: skip


def test_results_are_those_of_the_measure_stage() -> None:
    bench = Bench(BASE)
    checked = read_bench(bench, None)
    typed = read_typed(bench, list_bench(bench))
    facts = gather_records(typed.tables, {}, bench.days, None)
    store = build_store(checked, date(2032, 1, 1))
    measure_runs(store)

    measured = dict(store.connection.execute("select run, value from run_values").fetchall())

    corrected = {str(row.cells["row"]).split("|")[0] for row in typed.tables["corrections"]}
    compared = {
        result.run.run: float(result.value)
        for result in results_of(facts)
        if result.run.run not in corrected
    }
    assert len(compared) >= 5
    assert compared == pytest.approx({run: measured[run] for run in compared}, abs=1e-9)


@pytest.mark.parametrize(
    ("gain", "reason", "found"),
    [
        ("24.0", None, []),  # 120 %: the most itself is still possible
        ("24.1", None, ["error"]),
        ("24.1", "crumbs of the run before", ["warning"]),
        ("12.0", "no need", ["error"]),  # a reason belongs to a result that needs one
    ],
)
def test_a_share_beyond_its_limits_needs_a_reason(
    gain: str, reason: str | None, found: list[str]
) -> None:
    (typed,) = weighings(gain)
    row = typed_row("weighings", typed.number, **{**typed.cells, "reason": reason})

    findings = list(check_results(records_of(PICKUP, row)))

    assert [finding.severity.value for finding in findings] == found


def test_algorithm_a_agrees_with_an_independent_library() -> None:
    # Huber's proposal 2 at c = 1.5 has the same fixed point; 1.134 is 1 / sqrt(.7785) rounded.
    values = [4.5, 4.9, 5.6, 4.2, 6.2, 5.2, 9.9]
    mean, sd = Huber(c=1.5, maxiter=500, tol=1e-12)(np.array(values))

    assert algorithm_a(values) == pytest.approx((float(mean), float(sd)), rel=2e-3)


def test_algorithm_a_gives_what_the_standard_found_of_a_round_robin() -> None:
    # ISO 5725-5:1998, creosote in nine laboratories; means as in the manual of CRAN's metRology
    # (algA), the standard's robust mean and standard deviation *from memory*.
    means = [24.140, 20.155, 19.500, 20.300, 20.705, 17.570, 20.100, 20.940, 21.185]

    assert algorithm_a(means) == pytest.approx((20.412, 1.070), abs=0.0006)


@given(st.lists(st.integers(-1000, 1000), min_size=2, max_size=30), st.integers(-50, 50))
def test_algorithm_a_moves_with_the_values(values: list[int], shift: int) -> None:
    mean, sd = algorithm_a([float(value) for value in values])
    moved = algorithm_a([3.0 * value + shift for value in values])

    assert moved == pytest.approx((3 * mean + shift, 3 * sd), abs=1e-5)


FIELD = [
    *weighings("15.0", "15.3", "14.8", setup="two-stock", first=20),
    *weighings("10.1", "10.4", "9.9", setup="three-stock", first=30),
]


@pytest.mark.parametrize(
    ("gains", "dose", "said"),
    [
        (("12.0", "12.3", "12.1", "12.2"), "20.0", None),
        (("12.0", "12.3", "12.1", "1.2"), "20.0", "by chance hardly a run"),
        (("12.0", "12.3", "12.1", "18.0"), "20.0", "by chance hardly a run"),
    ],
)
def test_a_run_far_from_its_others_is_told_with_its_slip(
    gains: tuple[str, ...], dose: str, said: str | None
) -> None:
    findings = list(check_far_off(records_of(PICKUP, *FIELD, *weighings(*gains, dose=dose))))

    assert [finding.code for finding in findings] == [FindingCode.RUN_FAR_OFF] * (said is not None)
    assert all(finding.row == 5 and said in finding.problem for finding in findings if said)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("714", "value 714 looks like ten times the reading"),
        ("7.14", "value 7.14 looks like ten times too small a reading"),
        ("17.4", "value 17.4 looks like 71.4 with two digits swapped"),
    ],
)
def test_a_slip_of_the_hand_is_named(typed: str, said: str) -> None:
    noise = typed_row("protocols", protocol="noise", reading="value", unit="dB", in_overall="0")
    values = ("71.4", "71.1", "71.8", "71.2", "71.5", "71.3", typed)
    rows = [typed_row("values", row, run=f"v-{row}", value=v) for row, v in enumerate(values, 2)]

    (finding,) = check_far_off(records_of(noise, *rows))

    assert finding.row == 8
    assert finding.problem.endswith(said)


def test_of_two_runs_that_differ_the_one_out_of_the_field_is_told() -> None:
    (finding,) = check_far_off(records_of(PICKUP, *FIELD, *weighings("12.0", "1.2")))

    # By hand: 1.2 g and 12.0 g of a dose of 20 g.
    assert (finding.row, finding.column, finding.value) == (3, "after_g", "261.2")
    assert finding.problem.startswith(
        "the result, 6 %, is far from the other runs of one-stock: 1 of them, around 60 %; "
        "by chance hardly a run of this series lies further than "
    )


def test_readings_of_equal_spread_are_hardly_ever_told() -> None:
    # 200 series of 8 set-ups with 3 runs each: a tenth of a per cent of them at most on average
    random = np.random.default_rng(5)
    told = 0
    for _ in range(200):
        rows = [
            row
            for setup in range(8)
            for row in weighings(
                *(f"{gain:.2f}" for gain in random.normal(14, 0.4, 3)),
                setup=f"s{setup}", first=2 + 3 * setup,
            )
        ]  # fmt: skip
        told += len(list(check_far_off(records_of(PICKUP, *rows))))

    assert told <= 3


def test_swapped_containers_are_told_by_name() -> None:
    own = weighings("12.0", "12.1", "12.2")
    other = [
        typed_row(
            "weighings", row.number, **{**row.cells, "before_g": before, "after_g": after}
        )
        for row, before, after in zip(
            weighings("1", "1", "1", setup="two-stock", first=10),
            ("310.0", "310.2", "260.1"), ("322.0", "322.1", "272.0"), strict=True,
        )
    ]  # fmt: skip

    (finding,) = check_containers(records_of(PICKUP, *own, *other))

    assert (finding.row, finding.code) == (12, FindingCode.EMPTY_MASS_UNUSUAL)
    assert finding.problem.endswith("it looks like the container of one-stock")
