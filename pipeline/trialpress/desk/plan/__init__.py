"""What is worth running next, and in what order.

In:  a bench, a date, a question.
Out: a ``Plan``, and its runs in the order to make them.

Where to look::

    missing     which set-ups want runs in which series, and why
    series      one series as a plan finds it
    settling    which runs would settle a cut
    separating  how many runs tell two set-ups apart
    spreading   runs spread over evenings, and what that buys
    evening     the order of the runs, and how long they take
    fitting     the runs that fit into some hours, and what is due before them
    plan        the question of the command line and the answer to it
"""

from __future__ import annotations

from trialpress.desk.plan.evening import in_bench_order
from trialpress.desk.plan.plan import Plan, PlanQuestion, make_plan
from trialpress.desk.plan.spreading import over_evenings

__all__ = ["Plan", "PlanQuestion", "in_bench_order", "make_plan", "over_evenings"]
