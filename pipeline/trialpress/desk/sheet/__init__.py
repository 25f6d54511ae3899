"""The sheets of an evening: the run sheet that is printed, the bench sheet that is typed into.

In:  a bench; the runs of a plan; what the tester types in the browser.
Out: a day folder with planned rows and its page on paper; rows in that folder.

Where to look::

    run_sheet   planned rows in a new day folder
    paper       the same runs on paper, with the methods' steps and cautions
    choices     what the bench sheet offers: planned runs, set-ups, protocols, instruments
    draft       what the tester typed, and its place in the day's file
    assessment  what there is to say of a draft before it is written
"""

from __future__ import annotations

from trialpress.desk.sheet.paper import write_sheet_page
from trialpress.desk.sheet.run_sheet import RunSheet, check_free, make_sheet, write_sheet

__all__ = ["RunSheet", "check_free", "make_sheet", "write_sheet", "write_sheet_page"]
