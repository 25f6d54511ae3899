"""The code keeps to the house style where a machine can tell."""

from __future__ import annotations

import re
from collections import Counter
from functools import partial
from pathlib import Path

from house import rules
from house.contract import PACKAGE, STAGES
from house.tracked import ROOT, breaches, repository_files

PYTHON = repository_files(".py", below="pipeline") + repository_files(".py", below="tests")
PACKAGE_MODULES = repository_files(".py", below=PACKAGE)
STAGE_MODULES = [
    path for path in PACKAGE_MODULES if path.parts[2] in STAGES and path.name != "__main__.py"
]
SQL = repository_files(".sql")
WRITING_THEMSELVES = {  # and why none of their names comes from data
    f"{PACKAGE}/paths.py": "the one function",
    f"{PACKAGE}/swap.py": "names of the outputs",
    f"{PACKAGE}/flow.py": "names of the outputs",
    f"{PACKAGE}/cache.py": "digests",
    f"{PACKAGE}/site/write.py": "the static files as they are shipped",
    f"{PACKAGE}/dataset/table_files.py": "names of our tables",
    f"{PACKAGE}/dataset/archive.py": "the name of the archive",
    f"{PACKAGE}/editions/opening.py": "places that place_below gave, piece by piece",
    f"{PACKAGE}/words/catalogue.py": "the tag of a language that is known",
    f"{PACKAGE}/desk/replacing.py": "a place that its caller was given by place_below",
    f"{PACKAGE}/desk/new/bench.py": "the folder that the tester named",
    f"{PACKAGE}/desk/sheet/run_sheet.py": "a new day that its command named",
    f"{PACKAGE}/desk/bench_copy.py": "a copy in a folder of its own",
    f"{PACKAGE}/desk/scratch.py": "folders whose names it chose itself",
}


def test_the_lists_are_not_empty() -> None:
    assert len(PYTHON) > len(PACKAGE_MODULES) > len(STAGE_MODULES) > len(STAGES)
    assert SQL


def test_modules_fit_in_a_readers_mind() -> None:
    assert list(rules.long_module("x = 1\n" * 401)) == ["401 lines; split it"]
    assert not list(rules.long_module("x = 1\n" * 400))

    assert not list(breaches(PYTHON, rules.long_module))


def test_a_short_module_is_a_face_or_says_why() -> None:
    assert list(rules.short_module("x = 1\n" * 59, "intervals.py"))
    assert list(rules.short_module('"""Intervals.\n\nShort: yes\n"""\n', "intervals.py"))
    assert not list(rules.short_module("x = 1\n" * 60, "intervals.py"))
    assert not list(rules.short_module("x = 1\n", "__init__.py"))
    reason = '"""Intervals.\n\nShort: asked from everywhere.\n"""\n'
    assert not list(rules.short_module(reason, "intervals.py"))

    in_pipeline = repository_files(".py", below="pipeline")
    assert not [
        path
        for path in in_pipeline
        if list(rules.short_module((ROOT / path).read_text("utf-8"), path.name))
    ]


def test_functions_are_short() -> None:
    body = "    x = 1\n" * 41
    assert list(rules.long_functions(f"def f():\n{body}")) == ["line 1: f has 41 lines"]
    assert not list(
        rules.long_functions('def f():\n    """Long.' + "\n" * 50 + '"""\n    return 1\n')
    )

    assert not list(breaches(PYTHON, rules.long_functions))


def test_names_say_what_is_inside() -> None:
    assert list(rules.vague_name(Path("pipeline/utils.py")))

    assert not [f"{path}: {said}" for path in PYTHON for said in rules.vague_name(path)]


def test_a_variable_is_named_by_what_it_is() -> None:
    assert list(rules.empty_names("def f(told): ...")) == ["line 1: told says nothing; what is it?"]
    assert list(rules.empty_names("said = 1"))
    assert not list(rules.empty_names("def f(finding):\n    finding.told()"))

    assert not list(breaches(PACKAGE_MODULES, rules.empty_names))


def test_a_class_has_a_name_of_its_own() -> None:
    assert list(rules.class_names("class A:\n    class B: ...")) == ["A", "B"]

    times = Counter(
        name for path in PACKAGE_MODULES for name in rules.class_names((ROOT / path).read_text())
    )
    assert len(times) > 100
    assert {name for name, count in times.items() if count > 1} == set()


def test_what_is_written_by_a_name_from_data_goes_through_one_function() -> None:
    for bad in (
        'file.write_text("x")',
        "shutil.rmtree(folder)",
        'file.open("w")',
        "new.rename(old)",
    ):
        assert list(rules.bare_writes(bad))
    assert not list(rules.bare_writes('file.open("rb")\ntext.replace("a", "b")\nopen(file)'))

    checked = [path for path in PACKAGE_MODULES if path.as_posix() not in WRITING_THEMSELVES]
    assert not list(breaches(checked, rules.bare_writes))


def test_tables_are_split_and_git_is_run_in_one_place_each() -> None:
    reads_csv = re.compile(r"(csv\.)?(reader|DictReader)|(pd|pandas)\.read_csv")
    runs_programs = re.compile(r"subprocess\.\w+|os\.(system|popen|spawn\w+|exec\w+)")
    assert list(rules.calls("import csv\ncsv.reader(file)", reads_csv))
    assert list(rules.calls("import subprocess\nsubprocess.run(['git'])", runs_programs))

    def homes(called: re.Pattern[str]) -> set[str]:
        found = breaches(PACKAGE_MODULES, partial(rules.calls, called=called))
        return {breach.partition(":")[0].removeprefix(f"{PACKAGE}/") for breach in found}

    assert homes(reads_csv) == {"intake/textfile.py"}
    assert homes(runs_programs) == {"desk/publish/git.py"}


def test_only_the_command_line_prints_exits_or_reads_clock_and_environment() -> None:
    for bad in (
        "print(1)",
        "import sys\nsys.exit(1)",
        "from datetime import datetime\ndatetime.now(tz=zone)",
        "from datetime import date\ndate.today()",
        "import os\nx = os.environ['A']",
        "import os\nx = os.getenv('A')",
        "import time\ntime.time()",
    ):
        assert list(rules.outside_calls(bad)), bad
    elsewhere = [path for path in PACKAGE_MODULES if "cli" not in path.parts]

    assert not list(breaches(elsewhere, rules.outside_calls))


def test_modules_say_what_comes_in_and_what_goes_out() -> None:
    assert list(rules.silent_docstring("x = 1", is_stage=False))
    assert list(rules.silent_docstring('"""Rules."""\nx = 1', is_stage=True))
    assert not list(
        rules.silent_docstring('"""Rules.\n\nIn:  a\nOut: b\n"""\nx = 1', is_stage=True)
    )

    assert not list(breaches(PYTHON, partial(rules.silent_docstring, is_stage=False)))
    assert not list(breaches(STAGE_MODULES, partial(rules.silent_docstring, is_stage=True)))


def test_sql_is_one_lower_case_select_with_named_columns_and_a_header() -> None:
    for bad in (
        "select 1 as a",
        "-- model: a\nselect 1 as a; select 2 as a",
        "-- model: a\ncreate table t as select 1 as a",
        "-- model: a\nSELECT 1 as a",
        "-- model: a\nselect * from t",
        "-- model: a\nselect t.* from t",
    ):
        assert list(rules.faulty_sql(bad)), bad
    good = "-- model: a\nselect count(*) as n, 2 * 3 as m from \"T\" where c = 'A'"
    assert not list(rules.faulty_sql(good))

    assert not list(breaches(SQL, rules.faulty_sql))
