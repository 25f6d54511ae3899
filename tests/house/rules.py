"""The house rules as functions, so that each can be shown a bad example.

In:  source text, and where it lies.
Out: sentences, one a breach; none where the rule is kept.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import duckdb

MOST_MODULE_LINES = 400
EMPTY_NAMES = frozenset({"told", "said"})
LEAST_MODULE_LINES = 60
FACES = {"__init__.py", "__main__.py"}
MOST_FUNCTION_LINES = 40
VAGUE_NAMES = {"utils", "util", "helpers", "helper", "common", "manager", "misc", "data2", "stuff"}
ONLY_THE_COMMAND_LINE = re.compile(
    r"(print|input|exit|sys\.exit|os\.environ.*|os\.getenv"
    r"|(datetime\.)?datetime\.(now|today|utcnow)|(datetime\.)?date\.today"
    r"|time\.(time|time_ns|localtime|gmtime|ctime))"
)
REGISTRY_OR_MACHINE = re.compile(
    r"pypi[^\w/:](org|python)|python(hosted)\W|npmjs\W(org|com)|registry\W(npm|yarn)"
    r"|(deb|security)\Wdebian\Worg|--(extra-)?index-url|--(find)-links"
    r"|\"resolved\": \"http|(^|[^A-Za-z0-9_.])/(work|root|home|Users|tmp)/[A-Za-z0-9_.]",
    re.MULTILINE,
)
WRITES = {
    "write_text",
    "write_bytes",
    "unlink",
    "rmdir",
    "rmtree",
    "copytree",
    "copy2",
    "symlink_to",
}
WRITING_MODE = re.compile(r"[rwxab+]*[wxa+][wxab+]*")
FOREIGN_ASSET = re.compile(
    r"<(script|img|link|iframe|source|video|audio|embed|object)\b[^>]*"
    r"\b(src|href|data|srcset)\s*=\s*[\"']?\s*(https?:)?//[^\"'>]*"
    r"|@import\s+(url\()?[\"']?(https?:)?//|url\(\s*[\"']?(https?:)?//",
    re.IGNORECASE,
)
SQL_NOISE = re.compile(r"--[^\n]*|'(?:[^']|'')*'|\"[^\"]*\"")


def long_module(text: str) -> Iterator[str]:
    """A module longer than a reader keeps in mind."""
    lines = len(text.splitlines())
    if lines > MOST_MODULE_LINES:
        yield f"{lines} lines; split it"


@cache
def _module(text: str) -> ast.Module:
    """A module parsed once for all rules."""
    return ast.parse(text)


@cache
def _nodes(text: str) -> tuple[ast.AST, ...]:
    return tuple(ast.walk(_module(text)))


def short_module(text: str, name: str) -> Iterator[str]:
    """A module so short that it answers no question of its own, unless it says why it stands alone.

    Its docstring gives the reason in a line of its own: ``Short: a reason``.
    """
    lines = len(text.splitlines())
    docstring = ast.get_docstring(_module(text)) or ""
    has_reason = re.search(r"^Short: +\S+ \S+", docstring, re.MULTILINE)
    if lines < LEAST_MODULE_LINES and name not in FACES and not has_reason:
        yield f"{lines} lines; put it where its reader's question is answered, or say Short: why"


def long_functions(text: str) -> Iterator[str]:
    """Functions with too many lines, their docstrings not counted."""
    for node in _nodes(text):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            first = node.body[1] if ast.get_docstring(node) and node.body[1:] else node.body[0]
            lines = (node.end_lineno or 0) - first.lineno + 1
            if lines > MOST_FUNCTION_LINES:
                yield f"line {node.lineno}: {node.name} has {lines} lines"


def class_names(text: str) -> Iterator[str]:
    """The names of the classes of a module."""
    return (node.name for node in _nodes(text) if isinstance(node, ast.ClassDef))


def empty_names(text: str) -> Iterator[str]:
    """Variables and arguments that only say that somebody says something."""
    for node in _nodes(text):
        match node:
            case ast.Name(id=name, ctx=ast.Store()) | ast.arg(arg=name) if name in EMPTY_NAMES:
                yield f"line {node.lineno}: {name} says nothing; what is it?"


def vague_name(path: Path) -> Iterator[str]:
    """A file or folder whose name says nothing about what is in it."""
    for part in path.with_suffix("").parts:
        if part in VAGUE_NAMES:
            yield f"{part} says nothing about what is in it"


def outside_calls(text: str) -> Iterator[str]:
    """Printing, leaving, the clock and the environment, which belong to the command line."""
    for node in _nodes(text):
        name = ""
        if isinstance(node, ast.Call):
            name = ast.unparse(node.func)
        elif isinstance(node, ast.Attribute):
            name = ast.unparse(node) if ast.unparse(node) == "os.environ" else ""
        if name and ONLY_THE_COMMAND_LINE.fullmatch(name):
            yield f"line {node.lineno}: {name} belongs in cli"  # type: ignore[attr-defined]


def bare_writes(text: str) -> Iterator[str]:
    """Files written, renamed or removed otherwise than by the functions for it."""
    for node in _nodes(text):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute | ast.Name):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id
            modes = [a.value for a in node.args if isinstance(a, ast.Constant)]
            opens = name == "open" and any(WRITING_MODE.fullmatch(str(m)) for m in modes)
            is_path = name in {"rename", "replace"} and len(node.args) == 1 and not node.keywords
            if name in WRITES or opens or is_path:
                yield f"line {node.lineno}: {name} writes or removes by itself"


def calls(text: str, called: re.Pattern[str]) -> Iterator[str]:
    """Calls of what has one home in the package."""
    for node in _nodes(text):
        if isinstance(node, ast.Call) and called.fullmatch(ast.unparse(node.func)):
            yield f"line {node.lineno}: {ast.unparse(node.func)}"


def silent_docstring(text: str, *, is_stage: bool) -> Iterator[str]:
    """A module that does not say what comes in and what goes out."""
    module = _module(text)
    docstring = ast.get_docstring(module)
    has_code = len(module.body) > 1
    if docstring is None:
        yield "has no docstring"
    elif (
        is_stage
        and has_code
        and not re.search(r"^In: .*^Out: ", docstring, re.MULTILINE | re.DOTALL)
    ):
        yield "its docstring does not say In: and Out:"


def faulty_sql(text: str) -> Iterator[str]:
    """SQL that is not one lower-case select with named columns below a header."""
    if not text.startswith("--"):
        yield "does not begin with a comment that says what it selects"
    kinds = [statement.type for statement in duckdb.extract_statements(text)]
    if kinds != [duckdb.StatementType.SELECT]:
        yield f"is not one select but {kinds}"
    bare = SQL_NOISE.sub(" ", text)
    if bare != bare.lower():
        yield "has upper-case words"
    if re.search(r"(select|distinct|,)\s+(\w+\.)?\*", bare):
        yield "selects *"


def addresses(text: str) -> Iterator[str]:
    """Package registries and the paths of one machine."""
    for found in REGISTRY_OR_MACHINE.finditer(text):
        yield f"names a registry or a path of one machine: {found.group().strip()}"


def foreign_assets(text: str) -> Iterator[str]:
    """Scripts, styles, fonts or pictures that a page would load from elsewhere."""
    for found in FOREIGN_ASSET.finditer(text):
        yield f"loads from elsewhere: {found.group()}"
