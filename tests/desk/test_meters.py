"""A balance that types: lines as balances send them, over a real pseudo-terminal.

Source of the conversions: NIST SP 811, appendix B.8 (1 oz = 28.349 52 g).
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest

from desk.lines import Line, Sent, far_end
from flow.benches import copy_of_small_bench
from trialpress.bench import Meter
from trialpress.desk.meters import LineReading, MeterError, converted, measure, port, read_line
from typed import trialpress

BALANCE = Meter("balance", "/dev/null", "g", "{any} {value} {unit}", stable="S {any}")
PLAIN = Meter("balance", "/dev/null", "g")


class Sounds(BytesIO):
    """A port at which everything has come already."""

    @property
    def in_waiting(self) -> int:
        return len(self.getbuffer()) - self.tell()


@pytest.fixture
def line() -> Iterator[Line]:
    with far_end() as made:
        yield made


@pytest.mark.parametrize(
    ("pattern", "text", "value", "unit"),
    [
        ("{value} {unit}", "  278.30 g", "278.30", "g"),
        ("{value} {unit}", "+278,30g", "278.30", "g"),
        ("{value} {unit}", "-  0.4 g", "-0.4", "g"),
        ("{value}", "278.30", "278.30", "g"),
        ("{any} {value} {unit}", "S  12  0.26010 kg", "0.26010", "kg"),
        ("No {any}: {value} {unit} {any}", "No 7: 64.2 g at rest", "64.2", "g"),
    ],
)
def test_a_line_says_its_number_with_every_digit(
    pattern: str, text: str, value: str, unit: str
) -> None:
    reading = read_line(replace(PLAIN, pattern=pattern), text)

    assert reading == LineReading(Decimal(value), unit, is_stable=True, line=text.strip())


@pytest.mark.parametrize("text", ["OL", "------ g", "278.30 dB", "278.30 g 12", "1.234.5 g", ""])
def test_a_line_of_another_shape_says_nothing(text: str) -> None:
    assert read_line(PLAIN, text) is None


@pytest.mark.parametrize(
    ("value", "unit", "wanted", "text"),
    [
        ("278.30", "g", "g", "278.30"),
        ("0.26010", "kg", "g", "260.10"),
        ("12", "mg", "g", "0.012"),
        ("1.00", "oz", "g", "28.3"),  # its last digit is 0.28 g
        ("64.2", "dBA", "dB(A)", "64.2"),
    ],
)
def test_a_unit_is_converted_and_no_digit_is_made_up(
    value: str, unit: str, wanted: str, text: str
) -> None:
    assert converted(LineReading(Decimal(value), unit, is_stable=True, line=""), wanted) == text


def test_a_line_of_blanks_between_gaps_is_read_at_once() -> None:
    """Where each share of them between the gaps is tried, this one line takes hours."""
    gaps = replace(PLAIN, pattern="{any} {any} {any} {value}")

    assert read_line(gaps, f"a{' ' * 118}b") is None
    assert read_line(gaps, f"a{' ' * 110}b  2.5") == LineReading(
        Decimal("2.5"), "g", is_stable=True, line=f"a{' ' * 110}b  2.5"
    )


def test_a_reading_is_found_behind_a_line_that_does_not_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    noise = Sounds(b"9" * 1_000_000 + b"\r\n2.5 g\r\n2.5 g\r\n")
    monkeypatch.setattr(port, "_opened", lambda _: noise)

    assert measure(PLAIN).value == Decimal("2.5")


def test_a_line_under_way_is_not_taken_for_a_reading(line: Line) -> None:
    """The rest of it would be 8.30 g, a wrong number that looks right."""
    line.send((0.3, b"27"), (0.08, b"8.30 g\r\n"))

    assert {measure(replace(PLAIN, port=line.port)).value for _ in range(2)} == {Decimal("278.30")}


def test_what_moves_is_passed_over_until_it_rests(line: Line) -> None:
    line.send((0.2, b"D 11.90 g\r\n"), (0.02, b"\x00\xff#\r\n"), (0.02, b"S 12.34 g\r\n"))

    assert measure(replace(BALANCE, port=line.port)).line == "S 12.34 g"


def test_without_a_mark_two_lines_in_a_row_have_to_agree(line: Line) -> None:
    line.send((0.2, b"1.1 g\r\n1.2 g\r\n1.3 g\r\n1.3 g\r\n"))

    assert measure(replace(PLAIN, port=line.port)).value == Decimal("1.3")


def test_a_line_that_comes_alone_was_sent_at_the_press_of_a_key(line: Line) -> None:
    line.send((0.3, b"2.5 g\r\n"), (2.0, b"2.6 g\r\n"))

    assert measure(replace(PLAIN, port=line.port)).value in {Decimal("2.5"), Decimal("2.6")}


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ((60, b""), "nothing came from"),
        ((0.2, b"OL\r\n"), "its line “OL” is not like"),
        ((0.2, b"D 12.2 g\r\n"), "did not come to rest; its last line was “D 12.2 g”"),
        ((0.2, b"\x1b[2J" + b"9" * 4000), "nothing came from"),
    ],
)
def test_a_meter_without_a_reading_says_why(sent: Sent, said: str, line: Line) -> None:
    line.send(sent)

    with pytest.raises(MeterError, match=said):
        measure(replace(BALANCE, port=line.port), patience_s=0.7)


def test_a_meter_that_is_unplugged_meanwhile_is_told(line: Line) -> None:
    threading.Timer(0.1, line.unplug).start()

    with pytest.raises(MeterError, match=r"went away|nothing came"):
        measure(replace(BALANCE, port=line.port), patience_s=5)


@pytest.mark.parametrize("port", ["/dev/ttyNONE9", "/etc/hostname", "data/days", "/dev/null"])
def test_nothing_but_a_port_is_opened(port: str) -> None:
    with pytest.raises(MeterError, match=r"there is no|is no port|cannot be opened"):
        measure(replace(BALANCE, port=port), patience_s=0.2)


def test_the_terminal_shows_what_each_meter_sends(tmp_path: Path, line: Line) -> None:
    bench = copy_of_small_bench(tmp_path / "bench")
    with (bench / "data/bench.toml").open("a", encoding="utf-8") as settings:
        settings.write(f'[[meters]]\nname = "hall"\nport = "{line.port}"\nunit = "g"\n')
        settings.write('[[meters]]\nname = "loft"\nport = "/dev/ttyNONE9"\nunit = "g"\n')
    line.send((0.3, b" 278.30 g\r\n"))

    said = trialpress("check", "--meters", folder=bench)

    assert "“278.30 g” says 278.30 g." in said.stdout
    assert "loft: there is no /dev/ttyNONE9." in said.stdout
    assert said.returncode == 3
