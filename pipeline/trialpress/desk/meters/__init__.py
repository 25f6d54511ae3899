"""Balances and other meters that type their readings.

In:  the meters of ``bench.toml``, and the ports of this machine.
Out: one reading that does not move, in the unit asked for, with the digits the meter showed.

Where to look::

    line    what a line says
    port    from an open port to one reading
"""

from __future__ import annotations

from trialpress.desk.meters.line import LineReading, converted, fits, read_line
from trialpress.desk.meters.port import MeterError, measure

__all__ = ["LineReading", "MeterError", "converted", "fits", "measure", "read_line"]
