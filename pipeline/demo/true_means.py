"""What every set-up is truly capable of in the invented world.

In:  nothing.
Out: the true mean of each set-up under each protocol, and how erratic it is. No file shows these
     figures: the demo's runs are drawn around them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from demo.text_table import read_cells

# The batch a set-up was tested in, then its true mean in each protocol's own unit; blank where it
# was never tested.
_TRUE_MEANS = """
setup               | batch | deep-rug | carpet | crevices | crumbs | hair | stain | noise | runtime
hofta-310-reference | ref   | 71.5     | 88.0   | 95.6     | 97.4   | 88.0 |       | 71.8  |
hofta-520-floor     | a     | 76.0     | 90.9   | 97.9     | 98.6   | 92.0 |       | 70.2  |
hofta-520-turbo     | a     | 86.0     | 91.5   | 94.1     | 95.8   | 86.0 |       | 74.6  |
torvek-60-stock     | a     | 87.4     | 92.6   | 90.3     | 93.9   | 95.0 |       | 78.9  |
vasp-30-stock       | a     | 55.2     | 78.8   | 98.7     | 98.9   | 90.0 |       | 73.1  | 34.5
nibb-100-stock      | a     | 44.5     | 66.1   | 92.4     | 90.2   | 62.0 |       | 64.3  | 92
fenlow-6-stock      | a     | 70.3     | 86.9   | 95.1     | 97.0   | 81.0 |       | 72.4  |
immel-1-stock       | b     | 38.2     | 64.7   | 98.2     | 97.6   | 74.0 |       | 61.8  | 104
velloq-1100-stock   | b     | 76.8     | 88.4   | 96.4     | 97.9   | 90.0 |       | 69.1  |
lanke-7-stock       | b     | 67.9     | 84.2   | 96.8     | 97.2   | 78.0 |       | 73.9  | 41
kubba-8-stock       | b     | 58.8     | 80.1   | 91.9     | 95.0   | 66.0 |       | 76.8  |
kubrit-21-stock     | b     | 57.3     | 75.0   | 93.8     | 94.9   | 84.0 |       | 65.7  | 118
pikk-stock          | b     |          |        |          | 96.1   | 70.0 |       | 74.5  | 18.5
gradda-2-stock      | c     | 85.3     | 92.0   | 92.8     | 94.4   | 97.0 |       | 77.6  |
aluen-5-stock       | c     | 77.7     | 88.9   | 97.7     | 98.3   | 100  |       | 74.8  | 46
mosqua-1-stock      | c     |          |        | 99.5     | 98.8   |      | 82.0  | 73.0  | 28
immel-2-normal      | c     | 43.0     | 69.8   | 98.8     | 98.2   | 80.0 |       | 62.9  | 131
immel-2-max         | c     | 47.9     | 73.0   | 98.9     | 98.4   | 83.0 |       | 67.4  | 78
kelbrin-14-stock    | c     | 84.1     | 91.4   | 95.9     | 97.5   | 91.0 |       | 73.7  |
vasp-50-auto        | d     | 58.9     | 81.2   | 99.0     | 99.1   | 93.0 |       | 72.2  | 52
vasp-50-boost       | d     | 62.5     | 83.4   | 99.2     | 99.2   | 94.0 |       | 77.0  | 14
torvek-80-stock     | d     | 89.2     | 93.0   | 92.2     | 95.2   | 97.0 |       | 79.8  |
nibb-200-stock      | d     | 51.0     | 71.2   | 94.7     | 93.3   | 71.0 |       | 64.9  | 96
sondri-8-stock      | d     | 69.4     | 84.8   | 95.9     | 96.6   | 88.0 |       | 73.5  | 39
snutt-stock         | d     |          |        |          | 93.0   | 58.0 |       | 75.8  | 13
aluen-6-roller      | e     | 75.4     | 91.6   | 99.3     | 99.0   | 100  |       | 73.2  | 55
aluen-6-bristle     | e     | 86.2     | 91.9   | 96.2     | 96.9   | 94.0 |       | 74.4  | 48
fenlow-9-stock      | e     | 85.0     | 91.8   | 96.9     | 98.0   | 93.0 |       | 72.9  |
oriq-3-stock        | e     | 60.1     | 77.4   | 96.0     | 95.7   | 92.0 | 74.0  | 65.0  | 124
mosqua-2-stock      | e     |          |        | 99.7     | 99.1   |      | 91.0  | 71.9  | 33
velloq-900-stock    | f     | 73.6     | 87.0   | 97.0     | 97.8   | 89.0 |       | 72.0  | 44
velloq-1200-normal  | f     | 61.8     | 78.9   | 96.5     | 96.0   | 90.0 |       | 63.6  | 142
frasa-12-stock      | f     | 61.0     | 80.6   | 94.0     | 94.3   | 60.0 |       | 76.0  | 27
braddle-4-stock     | f     | 81.5     | 90.8   | 91.5     | 94.0   | 89.0 |       | 78.1  |
kubrit-31-stock     | f     | 63.5     | 79.4   | 96.3     | 96.1   | 95.0 |       | 65.2  | 133
hessop-2-stock      | g     | 70.9     | 85.5   | 95.7     | 96.9   | 85.0 |       | 74.1  | 37
immel-2-dok-stock   | g     | 43.6     | 70.1   | 98.7     | 98.0   | 82.0 | 79.0  | 63.3  | 127
kelbrin-3-stock     | g     | 76.1     | 88.1   | 96.2     | 97.1   | 93.0 |       | 74.9  | 43
kubrit-31-wash-dry  | g     | 63.8     | 79.2   | 96.1     | 96.2   | 95.0 |       | 65.5  | 130
kubrit-31-wash-mop  | g     |          |        | 97.6     | 95.9   |      | 85.0  | 66.1  | 112
aluen-2-stock       | g     |          |        |          | 97.3   | 96.0 |       | 73.6  | 21
tremmo-4-stock      | h     | 56.0     | 76.1   | 97.4     | 96.3   | 90.0 | 88.0  | 64.4  | 119
mosqua-3-stock      | h     |          |        | 99.8     | 99.2   |      | 93.0  | 70.8  | 36
velloq-700-stock    | h     |          |        | 99.4     | 98.5   |      | 86.0  | 72.6  | 31
velloq-1200-deep    | h     | 66.9     | 80.7   | 96.7     | 96.4   | 91.0 |       | 68.2  | 81
undrey-1-stock      | h     | 66.0     | 82.5   | 97.9     | 97.2   | 97.0 | 92.0  | 63.1  | 138
ilvane-1-stock      | i     | 80.2     | 90.1   | 98.0     | 98.4   | 100  |       | 73.3  | 47
ilvane-r-stock      | i     | 58.6     | 77.7   | 97.1     | 96.8   | 94.0 |       | 64.0  | 116
"""

# A factor on the protocol's run-to-run standard deviation, 1.0 where not listed.
_SCATTER = """
setup               | scatter
hofta-310-reference | 0.8
nibb-100-stock      | 1.8
immel-1-stock       | 1.2
kubba-8-stock       | 1.4
kubrit-21-stock     | 1.3
aluen-5-stock       | 0.9
immel-2-normal      | 1.1
immel-2-max         | 1.1
nibb-200-stock      | 3.0
snutt-stock         | 1.3
aluen-6-roller      | 0.9
aluen-6-bristle     | 0.9
fenlow-9-stock      | 0.9
oriq-3-stock        | 1.1
velloq-1200-normal  | 1.2
frasa-12-stock      | 1.6
braddle-4-stock     | 1.2
kubrit-31-stock     | 1.1
immel-2-dok-stock   | 1.1
kubrit-31-wash-dry  | 1.1
kubrit-31-wash-mop  | 1.1
tremmo-4-stock      | 1.2
velloq-1200-deep    | 1.2
ilvane-r-stock      | 1.3
"""

_REFERENCE_BATCH = "ref"


@dataclass(frozen=True)
class SetupTruth:
    """The truth about one set-up."""

    setup: str
    batch: str
    true_means: Mapping[str, float]
    scatter: float


def _setup_truths() -> dict[str, SetupTruth]:
    scatter = {cells["setup"]: float(cells["scatter"]) for cells in read_cells(_SCATTER)}
    found = {}
    for cells in read_cells(_TRUE_MEANS):
        setup, batch, *_ = cells.values()
        means = {name: float(text) for name, text in list(cells.items())[2:] if text}
        found[setup] = SetupTruth(setup, batch, means, scatter.get(setup, 1.0))
    return found


SETUP_TRUTHS = _setup_truths()
REFERENCE = next(s.setup for s in SETUP_TRUTHS.values() if s.batch == _REFERENCE_BATCH)
