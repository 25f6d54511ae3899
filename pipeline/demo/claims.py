"""Figures from the makers' spec sheets, in the units the makers like.

Two of them state pressure and flow at one operating point, where the air power peaks; from
greatest figures alone there is none. Some are about one set-up of a machine, some grant a
tolerance.

In:  nothing.
Out: rows of ``claims.csv``.
"""

from __future__ import annotations

from demo.rows import Claim
from demo.text_table import read_cells

_CLAIMS = """
machine        | quantity    | value | unit   | source               | stated_on
hofta-310      | rated-power | 750   | W      | rating plate         | 2024-08-30
hofta-310      | suction     | 21    | kPa    | manual               | 2024-08-30
hofta-520      | rated-power | 890   | W      | rating plate         | 2024-08-30
hofta-520      | suction     | 23.5  | kPa    | box                  | 2024-08-30
hofta-520      | noise       | 70    | dB(A)  | box                  | 2024-08-30
lanke-7        | runtime     | 60    | min    | box                  | 2024-10-26
lanke-7        | suction     | 18000 | Pa     | box                  | 2024-10-26
gradda-2       | airflow     | 31    | L/s    | manual               | 2025-01-11
gradda-2       | rated-power | 820   | W      | rating plate         | 2025-01-11
torvek-60      | airflow     | 70    | ft3/min | spec sheet           | 2024-08-30
torvek-60      | suction     | 78    | inH2O  | spec sheet           | 2024-08-30
torvek-80      | airflow     | 78    | ft3/min | spec sheet           | 2025-03-08
torvek-80      | suction     | 84    | inH2O  | spec sheet           | 2025-03-08
torvek-80      | noise       | 76    | dB(A)  | spec sheet           | 2025-03-08
kelbrin-14     | airflow     | 74    | ft3/min | spec sheet           | 2025-01-11
kelbrin-14     | suction     | 95    | inH2O  | spec sheet           | 2025-01-11
kelbrin-14     | airflow-at-peak | 36 | ft3/min | spec sheet          | 2025-01-11
kelbrin-14     | suction-at-peak | 47 | inH2O  | spec sheet           | 2025-01-11
kelbrin-3      | runtime     | 45    | min    | letter with the loan | 2026-01-31
fenlow-6       | rated-power | 700   | W      | rating plate         | 2024-08-30
fenlow-9       | airflow     | 128   | m3/h   | manual               | 2025-05-31
fenlow-9       | rated-power | 850   | W      | rating plate         | 2025-05-31
fenlow-9       | noise       | 73    | dB(A)  | manual               | 2025-05-31
braddle-4      | airflow     | 119   | m3/h   | manual               | 2025-10-25
hessop-2       | runtime     | 40    | min    | box                  | 2026-01-31
hessop-2       | suction     | 16    | kPa    | box                  | 2026-01-31
nibb-100       | runtime     | 120   | min    | box                  | 2024-08-30
nibb-100       | suction     | 2000  | Pa     | box                  | 2024-08-30
nibb-200       | runtime     | 120   | min    | box                  | 2025-03-08
nibb-200       | suction     | 4000  | Pa     | box                  | 2025-03-08
frasa-12       | runtime     | 45    | min    | box                  | 2025-10-25
frasa-12       | suction     | 25    | kPa    | box                  | 2025-10-25
kubrit-21      | suction     | 5.5   | kPa    | spec sheet           | 2024-10-26
kubrit-21      | runtime     | 120   | min    | spec sheet           | 2024-10-26
kubrit-31      | suction     | 8     | kPa    | spec sheet           | 2025-10-25
kubrit-31      | runtime     | 140   | min    | spec sheet           | 2025-10-25
kubrit-31      | noise       | 64    | dB(A)  | spec sheet           | 2025-10-25
kubrit-31-wash | suction     | 8     | kPa    | letter with the loan | 2026-01-31
kubrit-31-wash | runtime     | 150   | min    | letter with the loan | 2026-01-31
sondri-8       | runtime     | 50    | min    | spec sheet           | 2025-03-08
sondri-8       | rated-power | 450   | W      | spec sheet           | 2025-03-08
immel-1        | suction     | 2700  | Pa     | product page         | 2024-10-26
immel-1        | runtime     | 110   | min    | product page         | 2024-10-26
immel-2        | suction     | 6000  | Pa     | product page         | 2025-01-11
immel-2        | runtime     | 150   | min    | product page         | 2025-01-11
immel-2        | noise       | 62    | dB(A)  | product page         | 2025-01-11
immel-2-dok    | suction     | 6500  | Pa     | product page         | 2026-01-31
vasp-30        | runtime     | 40    | min    | product page         | 2024-08-30
vasp-50        | runtime     | 60    | min    | product page         | 2025-03-08
vasp-50        | airflow     | 20    | L/s    | product page         | 2025-03-08
pikk           | runtime     | 20    | min    | product page         | 2024-10-26
mosqua-1       | runtime     | 30    | min    | box                  | 2025-01-11
mosqua-2       | runtime     | 35    | min    | box                  | 2025-05-31
mosqua-3       | runtime     | 40    | min    | letter with the loan | 2026-04-25
mosqua-3       | noise       | 70    | dB(A)  | letter with the loan | 2026-04-25
tremmo-4       | suction     | 7     | kPa    | box                  | 2026-04-25
tremmo-4       | runtime     | 130   | min    | box                  | 2026-04-25
aluen-2        | runtime     | 20    | min    | box                  | 2026-01-31
aluen-5        | runtime     | 50    | min    | box                  | 2025-01-11
aluen-5        | suction     | 22    | kPa    | box                  | 2025-01-11
aluen-6        | runtime     | 60    | min    | box                  | 2025-05-31
aluen-6        | suction     | 24    | kPa    | box                  | 2025-05-31
aluen-6        | noise       | 73    | dB(A)  | box                  | 2025-05-31
oriq-3         | suction     | 5     | kPa    | box                  | 2025-05-31
oriq-3         | runtime     | 130   | min    | box                  | 2025-05-31
undrey-1       | suction     | 9     | kPa    | letter with the loan | 2026-04-25
undrey-1       | runtime     | 150   | min    | letter with the loan | 2026-04-25
velloq-700     | runtime     | 35    | min    | spec sheet           | 2026-04-25
velloq-900     | runtime     | 70    | min    | spec sheet           | 2025-10-25
velloq-900     | airflow     | 22.5  | L/s    | spec sheet           | 2025-10-25
velloq-1100    | airflow     | 39    | L/s    | spec sheet           | 2024-10-26
velloq-1100    | suction     | 26    | kPa    | spec sheet           | 2024-10-26
velloq-1100    | airflow-at-peak | 19 | L/s   | spec sheet           | 2024-10-26
velloq-1100    | suction-at-peak | 13 | kPa   | spec sheet           | 2024-10-26
velloq-1100    | noise       | 66    | dB(A)  | spec sheet           | 2024-10-26
velloq-1200    | suction     | 11000 | Pa     | spec sheet           | 2025-10-25
velloq-1200    | runtime     | 180   | min    | spec sheet           | 2025-10-25
velloq-1200    | noise       | 60    | dB(A)  | spec sheet           | 2025-10-25
"""

_DETAILS = """
machine        | quantity    | setup               | tolerance_pct
hofta-310      | rated-power |                     | 10
hofta-520      | rated-power |                     | 10
kelbrin-3      | runtime     |                     | 10
kubrit-31      | runtime     |                     | 10
kubrit-31-wash | runtime     | kubrit-31-wash-dry  | 10
sondri-8       | runtime     |                     | 5
immel-2        | noise       | immel-2-normal      |
vasp-50        | runtime     | vasp-50-auto        |
aluen-6        | runtime     | aluen-6-roller      |
aluen-6        | noise       | aluen-6-roller      |
velloq-1100    | airflow     |                     | 5
velloq-1200    | noise       | velloq-1200-normal  |
"""


def claims() -> tuple[Claim, ...]:
    """Rows of ``claims.csv``; a claim is named after its machine and quantity."""
    details = {(cells["machine"], cells["quantity"]): cells for cells in read_cells(_DETAILS)}
    blank = {"setup": "", "tolerance_pct": ""}
    return tuple(
        Claim(
            claim=f"{cells['machine']}-{cells['quantity']}",
            **(blank | cells | details.get((cells["machine"], cells["quantity"]), {})),
        )
        for cells in read_cells(_CLAIMS)
    )
