"""Whatever passes the checks is worked out: no failure, and never a figure that is no number."""

from __future__ import annotations

from datetime import date

import duckdb
import pytest
from hypothesis import Phase, given, settings

from examples import examples
from flow.extreme_benches import Extreme, extreme_benches, write_extreme
from trialpress.bench import Bench
from trialpress.flow import Order, Output, build

FIGURES = """
select table_name, column_name
from information_schema.columns
where table_schema = 'main' and data_type = 'DOUBLE'
"""


# A build takes seconds, so that an example that fails is shown as it was drawn.
@pytest.mark.dear
@settings(max_examples=examples(4), phases=(Phase.explicit, Phase.generate))
@given(extreme=extreme_benches())
def test_every_bench_that_passes_has_results_without_a_figure_that_is_no_number(
    extreme: Extreme, tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = write_extreme(extreme, tmp_path_factory.mktemp("extreme"))

    build(Order(Bench(folder), date(2031, 6, 1), folder / "out", (Output.STORE,), lambda _: None))

    with duckdb.connect(str(folder / "out" / "store.duckdb"), read_only=True) as store:
        no_numbers = [
            (table, column)
            for table, column in store.execute(FIGURES).fetchall()
            if store.execute(
                f'select count(*) from "{table}" where not isfinite("{column}")'  # noqa: S608 -- our own names
            ).fetchall()
            != [(0,)]
        ]
    assert no_numbers == []
