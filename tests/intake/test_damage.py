"""Whatever happens to the files of a bench: findings or a build, never anything else."""

from __future__ import annotations

from pathlib import Path

import pytest

from examples import TIMES, examples
from intake.damaged_benches import try_damage

CASES = 48 if TIMES == 1 else examples(80)
BATCHES = 4


@pytest.mark.parametrize("batch", range(BATCHES))
def test_damage_gives_findings_or_results_and_changes_no_file(batch: int, tmp_path: Path) -> None:
    for seed in range(batch, CASES, BATCHES):
        outcome = try_damage(tmp_path / "bench", seed)

        assert not outcome.changed, outcome.damage
        assert outcome.words is None or outcome.words.replace("\n", "").isprintable()
        assert outcome.words != "", outcome.damage
