"""An existing spreadsheet brought into day folders.

In:  a file somebody kept for years, a mapping, a bench.
Out: an ``Adoption``: what was understood and what was not, row by row; when written, rows in day
     folders, the file itself in ``data/adopted/``, and where each row came from.

The way of a file, left to right::

    spreadsheet    a workbook or text in any encoding -> rows of text
    limits         little memory and time for what somebody else made
    formats        what the cells of a workbook show beside what they hold; of an open_document
    mapping        which of its columns is which of ours, by headers and mapping_faults
    layout         wide tables, headers of two rows, blank cells -> one header, a run in each row
    cells, dates   what numbers, words and dates in them mean
    catalogue      which set-up, protocol or instrument a name means
    understanding  a row of theirs -> a row of ours, or the reasons why not, told by obstacles
    provenance     where a row goes, and where it came from
    adoption       all of it tried out on a copy of the bench
    writing        all of it written, or the last one taken back
    starting       a mapping begun, by guessing; start_text writes it
"""

from __future__ import annotations

from trialpress.desk.adopt.adoption import Adoption, AdoptionRequest, adopt
from trialpress.desk.adopt.mapping import Mapping, read_mapping
from trialpress.desk.adopt.start_text import refuse_taken, write_start
from trialpress.desk.adopt.starting import Start, start
from trialpress.desk.adopt.understanding import ReadSheet
from trialpress.desk.adopt.writing import (
    last_adoption,
    refuse_changed,
    remember_shown,
    write_adoption,
)

__all__ = [
    "Adoption",
    "AdoptionRequest",
    "Mapping",
    "ReadSheet",
    "Start",
    "adopt",
    "last_adoption",
    "read_mapping",
    "refuse_changed",
    "refuse_taken",
    "remember_shown",
    "start",
    "write_adoption",
    "write_start",
]
