"""Factors of units against NIST SP 811."""

from __future__ import annotations

import pytest

from trialpress.units import Measure, UnknownUnitError, dimension_of, normalised


@pytest.mark.parametrize(
    ("value", "unit", "expected", "told_in"),
    [
        (1.0, "ft3/min", 0.4719474, "L/s"),  # SP 811 B.8: 4.719474E-04 m3/s
        (1.0, "inH2O", 0.2490889, "kPa"),  # SP 811 B.8: conventional inch of water, 249.0889 Pa
        (1.0, "m3/h", 0.2777778, "L/s"),  # SP 811 B.8: 2.777778E-04 m3/s
        (18000.0, "Pa", 18.0, "kPa"),  # by definition of the prefix
        (23.5, "kPa", 23.5, "kPa"),  # stays
        (31.0, "L/s", 31.0, "L/s"),  # stays
        (890.0, "W", 890.0, "W"),  # stays
        (1.0, "psi", 6.894757, "kPa"),  # SP 811 B.8: 6.894757E+03 Pa
        (1.0, "mbar", 0.1, "kPa"),  # SP 811 B.8: 1.0E+02 Pa
        (1.0, "h", 60.0, "min"),  # by definition
        (1.0, "kW", 1000.0, "W"),  # by definition
        (1.0, "oz", 0.02834952, "kg"),  # SP 811 B.8: 2.834952E-02 kg
    ],
)
def test_factors_are_those_of_the_guide(
    value: float, unit: str, expected: float, told_in: str
) -> None:
    measure = normalised(value, unit)

    assert measure.unit == told_in
    assert measure.value == pytest.approx(expected, rel=5e-7)


def test_twenty_litres_a_second_are_about_forty_two_cubic_feet_a_minute() -> None:
    # Common practice, no source.
    assert 20.0 / normalised(1.0, "ft3/min").value == pytest.approx(42, abs=0.5)


def test_a_kilopascal_times_a_litre_a_second_is_a_watt() -> None:
    # By definition: 1000 N/m2 times 0.001 m3/s; ft3/min times inH2O from the factors of SP 811 B.8.
    pressure, flow = normalised(1.0, "inH2O").value, normalised(1.0, "ft3/min").value

    assert normalised(1.0, "kPa").value * normalised(1.0, "L/s").value == pytest.approx(1.0)
    assert pressure * flow == pytest.approx(249.0889 * 4.719474e-4, rel=1e-6)


@pytest.mark.parametrize("unit", ["ft3/min", "ft³/min", "ft^3/min", "cfm", "CFM"])
def test_one_unit_may_be_spelt_in_several_ways(unit: str) -> None:
    assert normalised(100.0, unit).value == pytest.approx(47.19474, rel=5e-7)


def test_a_water_column_may_carry_its_small_two() -> None:
    assert normalised(78.0, "inH₂O") == normalised(78.0, "inH2O")


def test_a_sound_level_is_no_ratio_and_keeps_its_weighting() -> None:
    assert normalised(64.0, "dB(A)") == Measure(64.0, "dB(A)", "sound level, A-weighted")
    assert dimension_of("dB") != dimension_of("dB(A)")


def test_a_percentage_stays_one() -> None:
    assert normalised(99.5, "%").value == pytest.approx(99.5)


@pytest.mark.parametrize(
    "text", ["", "fnord", "3 Pa", "Pa/s", "m**99999999", "__import__('os')", "°C", "a" * 50]
)
def test_what_is_no_unit_is_refused(text: str) -> None:
    with pytest.raises(UnknownUnitError):
        normalised(1.0, text)
