"""What the cells of twenty million runs of a thousand benches cost, out of core; a measurement.

In:  the limit of DuckDB's memory (default: 2GB) and, with ``--runs``, how many runs.
Out: processor seconds of making the runs as Parquet and of their cells, the most memory that was
     held, and what lies on the disk, on standard output. For ``SCALE.md``.

Short: it is one query on generated rows. Run by ``.venv/bin/python`` from the checkout.
"""

from __future__ import annotations

import argparse
import resource
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

import duckdb

RUNS, BENCHES, PROTOCOLS, SETUPS = 20_000_000, 1_000, 8, 300
CELLS = BENCHES * PROTOCOLS * SETUPS
STRIDE = 7_919  # prime, so that the runs of a cell lie far from each other, as those of years do
MADE = f"""
copy (
    select
        (run * {STRIDE} % {CELLS}) // {PROTOCOLS * SETUPS} as bench,
        run * {STRIDE} % {CELLS} // {SETUPS} % {PROTOCOLS} as protocol,
        run * {STRIDE} % {SETUPS} as setup,
        date '2030-01-01' + (run * 3650 // $runs)::int as day,
        85 + hash(run)::double / 2e19 * 10 as value
    from range($runs) as generated(run)
) to '{{file}}' (format parquet, compression zstd)
"""  # noqa: S608  numbers of ours
CELL_QUERY = """
copy (
    select bench, protocol, setup, count(*) as n, favg(value) as mean, stddev_samp(value) as sd
    from read_parquet($file)
    group by bench, protocol, setup
) to '{file}' (format parquet, compression zstd)
"""


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description="Cells of many runs, out of core.")
    parser.add_argument("limit", nargs="?", default="2GB", help="of DuckDB's memory")
    parser.add_argument("--runs", type=int, default=RUNS)
    asked = parser.parse_args()
    with TemporaryDirectory() as scratch:
        runs, cells = Path(scratch) / "runs.parquet", Path(scratch) / "cells.parquet"
        config = {"threads": 1, "memory_limit": asked.limit, "temp_directory": f"{scratch}/spill"}
        with duckdb.connect(config=config) as connection:
            begun = time.process_time()
            connection.execute(MADE.format(file=runs), {"runs": asked.runs})
            made = time.process_time()
            connection.execute(CELL_QUERY.format(file=cells), {"file": str(runs)})
            done = time.process_time()
            count = len(connection.read_parquet(str(cells)))
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        sys.stdout.write(
            f"{asked.runs:,} runs made in {made - begun:.1f} CPU s, "
            f"{runs.stat().st_size / 2**20:.0f} MB; {count:,} cells in {done - made:.1f} CPU s, "
            f"peak {peak:.0f} MB with a limit of {asked.limit}\n"
        )


if __name__ == "__main__":
    main()
