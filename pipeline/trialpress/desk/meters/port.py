"""One reading from a meter at a port of this machine.

In:  a meter of ``bench.toml``; bytes as they come: half lines, noise, nothing.
Out: the first reading that does not move, or ``MeterError`` with what came instead.

A line counts from its beginning: after the end of another, or after a pause. The rest of a line
that was under way when the port was opened would be a wrong number that looks right. Where the
shape of a stable line is not known, two lines in a row have to agree, unless only one comes.
"""

from __future__ import annotations

import stat
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from trialpress.bench import Meter
from trialpress.desk.meters.line import LineReading, read_line
from trialpress.errors import OutsideWorldError

if TYPE_CHECKING:
    import serial

PATIENCE_S = 8.0
PAUSE_S = 0.15  # a meter that sends all the time leaves no such gap within a line
ALONE_S = 1.0  # no other line for so long: it was sent at the press of a key
LONGEST_LINE = 120
_POLL_S = 0.05
_ENDS = b"\r\n"


class MeterError(OutsideWorldError):
    """A meter gave no reading that can be used; nothing was written."""

    def __init__(self, meter: Meter, problem: str, remedy: str) -> None:
        super().__init__(f"{meter.name}: {problem}. {remedy} Nothing was written.")


def measure(meter: Meter, patience_s: float = PATIENCE_S) -> LineReading:
    """Wait for one reading that does not move.

    Parameters
    ----------
    meter : Meter
        The meter; its port is opened for this reading alone.
    patience_s : float
        How long to wait, in seconds.

    Raises
    ------
    MeterError
        If the port is not there or is no port, if nothing comes, nothing is understood, nothing
        comes to rest, or the meter is unplugged meanwhile.
    """
    try:
        with closing(_opened(meter)) as port:
            return _reading(meter, _lines(port, time.monotonic() + patience_s))
    except OSError as error:  # pyserial's own errors are of this kind
        raise MeterError(
            meter,
            f"{meter.port} went away: {error.strerror or error}",
            "Plug it in again, then read once more.",
        ) from error


def _opened(meter: Meter) -> serial.Serial:
    import serial  # noqa: PLC0415  few have a meter at a port

    _refuse_files(meter)
    try:
        return serial.Serial(meter.port, meter.baud, timeout=_POLL_S, exclusive=True)
    except (serial.SerialException, OSError, ValueError) as error:
        raise MeterError(
            meter, f"{meter.port} cannot be opened: {_reason(error)}", _ports_there()
        ) from error


def _refuse_files(meter: Meter) -> None:
    """A bench from elsewhere may name any file; only a port is opened."""
    if sys.platform == "win32":
        return  # ports have names there that no file can have
    try:
        is_port = stat.S_ISCHR(Path(meter.port).stat().st_mode)
    except (OSError, ValueError):
        raise MeterError(meter, f"there is no {meter.port}", _ports_there()) from None
    if not is_port:
        raise MeterError(meter, f"{meter.port} is no port of a meter", _ports_there())


def _reason(error: Exception) -> str:
    return getattr(error, "strerror", None) or str(error)


def _ports_there() -> str:
    from serial.tools import list_ports  # noqa: PLC0415

    names = sorted(port.device for port in list_ports.comports())
    there = f"There are {', '.join(names)}" if names else "This machine has no serial port now"
    return f"{there}: plug the meter in, and mend port in bench.toml."


def _reading(meter: Meter, lines: Iterator[tuple[float, str]]) -> LineReading:
    """The first reading that does not move; each line comes with the time of its end, or blank."""
    last: tuple[float, LineReading] | None = None
    not_understood = moving = ""
    for at, line in lines:
        if not line:
            if last is not None and at - last[0] > ALONE_S:
                return last[1]
            continue
        reading = read_line(meter, line)
        if reading is None:
            last, not_understood = None, line
        elif meter.stable is not None and reading.is_stable:
            return reading
        elif meter.stable is not None:
            moving = line
        elif last is not None and last[1].value == reading.value:
            return reading
        else:
            last, moving = (at, reading), line
    raise _nothing_came(meter, not_understood, moving)


def _nothing_came(meter: Meter, not_understood: str, moving: str) -> MeterError:
    if moving:
        return MeterError(
            meter,
            f"it did not come to rest; its last line was “{moving}”",
            "Wait, then read again.",
        )
    if not_understood:
        return MeterError(
            meter,
            f"its line “{not_understood}” is not like “{meter.pattern}”",
            "If the meter is overloaded, unload it; else write the pattern in bench.toml as the "
            "line looks.",
        )
    return MeterError(
        meter,
        f"nothing came from {meter.port}",
        "Switch it on, press its key to send, and look whether its speed is that of baud.",
    )


def _lines(port: serial.Serial, until: float) -> Iterator[tuple[float, str]]:
    """Whole lines with the time they ended; a blank one now and then, while none comes."""
    pending, is_whole, quiet_since = b"", False, time.monotonic()
    while time.monotonic() < until:
        came = port.read(max(1, min(port.in_waiting, LONGEST_LINE)))
        now = time.monotonic()
        if not came:
            yield now, ""
            continue
        if not pending and now - quiet_since >= PAUSE_S:
            is_whole = True
        quiet_since = now
        for byte in came:
            if byte not in _ENDS:
                pending += bytes((byte,)) if len(pending) <= LONGEST_LINE else b""
                is_whole = is_whole and len(pending) <= LONGEST_LINE
                continue
            if is_whole and (line := _text(pending)):
                yield now, line
            pending, is_whole = b"", True


def _text(line: bytes) -> str:
    """A line as text; what no meter writes is shown as a question mark."""
    text = line.decode("ascii", "replace").replace("\ufffd", "?")
    return "".join(sign if sign.isprintable() else "?" for sign in text).strip()
