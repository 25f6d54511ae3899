"""Intake: a folder of hand-typed CSVs becomes checked tables, or a list of findings.

In:  a bench folder.
Out: ``CheckedBench``, or ``FaultyBenchError`` with every fault of every file.
"""

from __future__ import annotations

from trialpress.intake.checked import CheckedBench, Table
from trialpress.intake.findings import FaultyBenchError, Finding, FindingCode, Severity
from trialpress.intake.reading import (
    ReadFiles,
    check_as_it_stood,
    check_bench,
    read_bench,
    read_files,
)
from trialpress.intake.schemas import (
    Field,
    Reference,
    TableSchema,
    read_schema,
    read_schema_text,
)

__all__ = [
    "CheckedBench",
    "FaultyBenchError",
    "Field",
    "Finding",
    "FindingCode",
    "ReadFiles",
    "Reference",
    "Severity",
    "Table",
    "TableSchema",
    "check_as_it_stood",
    "check_bench",
    "read_bench",
    "read_files",
    "read_schema",
    "read_schema_text",
]
