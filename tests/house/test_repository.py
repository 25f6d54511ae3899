"""The repository holds what it should, and nothing of the machine it was written on."""

from __future__ import annotations

import json
import re
import tomllib
from pathlib import Path

import typer.main

from audit.shipped import PIN
from house import rules
from house.contract import PACKAGE
from house.tracked import ROOT, breaches, read, repository_files
from trialpress import __version__
from trialpress.cli import app

FILES = repository_files()
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "SECURITY.md",
    "LICENSE",
    "Makefile",
    "pyproject.toml",
    "requirements.txt",
    "requirements-dev.txt",
    "pipeline",
    "data",
    "guide",
    "site_templates",
    "tests",
    "build",
}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
LOCKS = ("requirements.txt", "requirements-dev.txt")
GUIDES = (
    *("README.md", "DEVELOPERS.md"),
    *sorted(f"guide/{page.name}" for page in (ROOT / "guide").glob("*.md")),
)
PINNED = re.compile(
    r"^([a-z0-9][a-z0-9.-]*)==\S+(?: ; [^\n]+)? \\\n(?:    --hash=sha256:[0-9a-f]{64}(?: \\)?\n)+"
)


def words_of(guide: str) -> str:
    return (ROOT / guide).read_text(encoding="utf-8")


def pins(lock: str) -> set[str]:
    """Names in a lock; every line that is not a comment must belong to a pin with hashes."""
    text = re.sub(r"^( *#.*)?\n", "", words_of(lock), flags=re.MULTILINE)
    blocks = re.findall(r"^\S.*\n(?: +.*\n)*", text, flags=re.MULTILINE)
    found = [PINNED.fullmatch(block) for block in blocks]
    assert "".join(blocks) == text
    assert all(found), [b for b, m in zip(blocks, found, strict=True) if not m]
    return {match.group(1) for match in found if match}


def asked_for(requirements: list[str]) -> set[str]:
    names = [re.split(r"[^A-Za-z0-9._-]", requirement)[0] for requirement in requirements]
    return {name.lower().replace("_", "-") for name in names}


def test_the_tests_that_hold_a_line_of_the_threat_model_are_there() -> None:
    named = re.findall(r"`(tests/[\w/]+\.py)::(\w+)`", words_of("SECURITY.md"))

    gone = [test for file, test in named if f"def {test}(" not in words_of(file)]

    assert len(named) > 20
    assert gone == []


def test_the_top_level_holds_only_what_a_newcomer_expects() -> None:
    seen = {path.parts[0] for path in FILES}

    assert not {name for name in seen if not name.startswith(".")} - TOP_LEVEL
    assert not TOP_LEVEL - seen


def test_no_file_names_a_registry_or_a_path_of_one_machine() -> None:
    for bad in (
        "https://pypi" + ".org/simple",
        "files.python" + "hosted.org",
        "--index" + "-url x",
        "see /work" + "/main",
        "/home" + "/me/x",
        '"resolved": ' + '"https',
    ):
        assert list(rules.addresses(bad)), bad

    ours = [path for path in FILES if "vendor" not in path.parts]  # others' files stay as they are
    assert not list(breaches(ours, rules.addresses))


def test_pages_load_nothing_from_elsewhere() -> None:
    for bad in (
        '<script defer src="https://example.org/x.js">',
        "<img src='//example.org/x.png'>",
        '<link rel="stylesheet" href="http://example.org/x.css">',
        "@import url(https://example.org/x.css)",
        "src: url('https://example.org/x.woff2')",
    ):
        assert list(rules.foreign_assets(bad)), bad
    assert not list(rules.foreign_assets('<a href="https://example.org/">maker</a>'))
    sources = [
        path
        for path in repository_files(below="site_templates") + repository_files(below="pipeline")
        if "vendor" not in path.parts
    ]

    assert not list(breaches(sources, rules.foreign_assets))


def test_the_bill_of_materials_lists_what_is_locked_and_vendored() -> None:
    """``make sbom`` writes it."""
    bill = json.loads(words_of("tests/audit/SBOM.cdx.json"))
    listed = {(part["name"], part.get("version", "")) for part in bill["components"]}

    assert {
        (name, version) for name, version in PIN.findall(words_of("requirements.txt"))
    } <= listed
    for record in (ROOT / "site_templates/static/vendor").rglob("RECORD.json"):
        for package in json.loads(record.read_text("utf-8"))["packages"]:
            assert (package["name"], package["version"]) in listed
    assert all(next(iter(part["licenses"][0].values())) for part in bill["components"])


def test_locks_pin_with_hashes_all_that_the_project_asks_for() -> None:
    run_time = asked_for(PROJECT["project"]["dependencies"] + PROJECT["build-system"]["requires"])
    development = asked_for(PROJECT["project"]["optional-dependencies"]["dev"])

    assert run_time <= pins("requirements.txt")
    assert run_time | development <= pins("requirements-dev.txt")


def test_both_locks_agree() -> None:
    run_time, development = (
        dict(re.findall(r"^(\S+)==(\S+)", words_of(lock), re.MULTILINE)) for lock in LOCKS
    )

    assert run_time.items() <= development.items()


def test_the_changelog_knows_the_version() -> None:
    assert f"## {__version__}" in words_of("CHANGELOG.md")


def test_the_guides_name_only_commands_that_exist() -> None:
    targets = set(re.findall(r"^([a-z]+):", words_of("Makefile"), re.MULTILINE))
    commands = set(typer.main.get_command(app).commands)  # type: ignore[attr-defined]

    for guide in GUIDES:
        text = words_of(guide)
        code = " ".join(re.findall(r"`[^`\n]+`|^(?:make|trialpress) .*$", text, re.MULTILINE))
        assert set(re.findall(r"\bmake ([a-z]+)", code)) <= targets
        assert set(re.findall(r"\btrialpress ([a-z]+)", code)) <= commands
    assert commands <= set(re.findall(r"`trialpress ([a-z]+)", words_of("README.md")))


def test_the_guides_name_only_files_that_exist() -> None:
    known = {str(path) for path in FILES} | {str(folder) for p in FILES for folder in p.parents}
    for guide in GUIDES:
        text = words_of(guide)
        named = re.findall(r"`((?:pipeline|site_templates|tests|\.ci)/[\w./-]*)`", text)
        linked = re.findall(r"\]\((?!https?:)([^)#]+)\)", text)
        beside = [(Path(guide).parent / link).as_posix() for link in linked]
        assert not [name for name in named + beside if name.rstrip("/") not in known]


def test_the_guides_use_only_options_that_there_are() -> None:
    commands = typer.main.get_command(app).commands  # type: ignore[attr-defined]
    for guide in GUIDES:
        for line in re.findall(
            r"^ *trialpress [a-z].*$|`trialpress [a-z][^`\n]+`", words_of(guide), re.MULTILINE
        ):
            _, name, *words = line.strip(" `").partition(" #")[0].split()
            used = {word for word in words if word.startswith("--")}
            options = {option for part in commands[name].params for option in part.opts}
            assert used <= options | {"--help"}, f"{guide}: {line}"


def test_every_picture_of_the_guide_is_taken_and_shown() -> None:
    """``make guide`` takes them, and stops where a page no longer has the words it should show."""
    shown = set(re.findall(r"\(pictures/([\w-]+)\.png\)", "".join(map(words_of, GUIDES))))
    taken = set(re.findall(r'Picture\("([\w-]+)"', words_of("tests/web/guide_pictures.py")))

    assert shown == taken == {file.stem for file in (ROOT / "guide/pictures").iterdir()}


def test_developers_are_not_kept_reading_for_long() -> None:
    assert len(words_of("DEVELOPERS.md").splitlines()) <= 250


def test_the_table_of_places_names_files_folders_and_functions_that_are_there() -> None:
    _, _, section = words_of("DEVELOPERS.md").partition("## Where things go\n")
    rows = [line.split(" | ")[1] for line in section.strip().split("\n\n")[0].splitlines()[2:]]
    assert len(rows) > 30
    for row in rows:
        first, *others = re.findall(r"`([^`]+)`", row)
        place = ROOT / first
        assert place.exists(), first
        for name in others:
            folders = (ROOT, ROOT / PACKAGE, place.parent, place)
            is_function = place.is_file() and f"def {name}(" in place.read_text("utf-8")
            assert is_function or any((folder / name).exists() for folder in folders), name


def test_shipped_json_is_json() -> None:
    for path in repository_files(".json"):
        assert json.loads(read(path) or ""), path


def test_links_in_the_repository_lead_inside_it() -> None:
    links = [path for path in FILES if (ROOT / path).is_symlink()]

    assert not [path for path in links if not (ROOT / path).resolve().is_relative_to(ROOT)]
    assert Path("pyproject.toml") in FILES
