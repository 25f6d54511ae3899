"""Where templates are found, and how a page's object becomes HTML.

In:  the bench's own ``site_templates/`` and the templates shipped with the package.
Out: text. A bench's own template wins over the shipped one of the same name. A bench may come from
     somebody else, and a template could run any code: unless it is trusted, it only reads the page.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import ClassVar, Protocol, TypeVar

from jinja2 import (
    ChoiceLoader,
    DictLoader,
    Environment,
    FileSystemBytecodeCache,
    FileSystemLoader,
    StrictUndefined,
    TemplateSyntaxError,
)
from jinja2.bccache import Bucket
from jinja2.runtime import Macro
from jinja2.sandbox import SandboxedEnvironment
from markupsafe import escape

from trialpress.bench import Bench
from trialpress.charts import shipped_templates
from trialpress.errors import FaultyDataError
from trialpress.ordinary_file import read_ordinary
from trialpress.site.frame import Frame
from trialpress.words import figures, form, say, say_as
from trialpress.words.markup import has_markup

COMPILED = Path(__file__).with_name("__pycache__")
STATIC, SHEET = "static", "sheet"  # what is no template of a page
_PERCENT = re.compile(r"(%\(\w+\)s|%%)|%")
_INDENT = re.compile(r"\n\s+(?=<)")

PageKind = TypeVar("PageKind")


class Templated(Protocol):
    """What a template can be filled with."""

    template: ClassVar[str]


class Page(Templated, Protocol):
    """What every page's object has."""

    @property
    def frame(self) -> Frame:
        """What is around the page."""


def of_kind(pages: Iterable[Page], kind: type[PageKind]) -> Iterator[PageKind]:
    """The pages of one kind among others, in their order."""
    return (page for page in pages if isinstance(page, kind))


class OwnTemplateError(FaultyDataError):
    """A bench's own template cannot be used."""

    @classmethod
    def of(cls, name: str, reason: Exception) -> OwnTemplateError:
        """The page that fails with it, and why."""
        place = f", line {reason.lineno}" if isinstance(reason, TemplateSyntaxError) else ""
        return cls(
            f"site_templates/: {name}{place} cannot be made with the bench's own: {reason}. "
            "Mend that template, or take it away to have the shipped one. If it calls what only "
            "trusted ones may, and you know who wrote it, add --trust-templates."
        )


@dataclass(frozen=True)
class Templates:
    """Names and texts of a bench's own templates, as they are now, and whether they are trusted."""

    texts: tuple[tuple[str, str], ...] = ()
    are_trusted: bool = False


class GuardedEnvironment(SandboxedEnvironment):
    """Runs templates of a bench that may be somebody else's."""

    def is_safe_callable(self, obj: object) -> bool:
        """Whether it is a macro or says a text: what a page's object can do, no template can."""
        return isinstance(obj, Macro) or any(obj is given for given in self.globals.values())


class OwnBucket(Bucket):
    """The compiled template of a bench: kept nowhere, as it is not ours."""


class CompiledTemplates(FileSystemBytecodeCache):
    """Shipped templates, compiled once beside this module as Python compiles modules."""

    def get_bucket(
        self, environment: Environment, name: str, filename: str | None, source: str
    ) -> Bucket:
        """What is kept of one; only shipped ones come from a file."""
        if filename is None:
            return OwnBucket(environment, name, self.get_source_checksum(source))
        return super().get_bucket(environment, name, filename, source)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a shipped one, where Python keeps compiled modules and the folder lets it."""
        if not (sys.dont_write_bytecode or isinstance(bucket, OwnBucket)):
            with suppress(OSError):
                super().dump_bytecode(bucket)


def _compiled_name(kind: type[Environment]) -> str:
    """The name of a compiled template's file: templates are compiled by Jinja as told below."""
    how = f"{version('jinja2')} {kind.__name__} ".encode()  # guarded ones are compiled otherwise
    return f"template-{sha256(how + Path(__file__).read_bytes()).hexdigest()[:12]}-%s.pyc"


def own_templates(bench: Bench) -> Templates:
    """The templates with which a bench replaces shipped ones.

    Raises
    ------
    OSError
        If one is no ordinary file of the bench.
    """
    folder = bench.own_templates
    if folder.resolve() == shipped_templates().resolve():
        return Templates()
    files = {path.relative_to(folder): path for path in folder.rglob("*") if path.is_file()}
    texts = (
        (name.as_posix(), read_ordinary(files[name], within=bench.root).decode("utf-8", "replace"))
        for name in sorted(files)
        if name.parts[0] not in {STATIC, SHEET}
    )
    return Templates(tuple(texts), bench.trusts_templates)


@lru_cache(maxsize=4)
def environment(own: Templates) -> Environment:
    """A strict environment: a bench's own templates, then the shipped ones.

    It is kept, so that a process that builds again and again compiles a template once.
    """
    kind = Environment if own.are_trusted or not own.texts else GuardedEnvironment
    made = kind(
        extensions=["jinja2.ext.i18n"],
        loader=ChoiceLoader([DictLoader(dict(own.texts)), FileSystemLoader(shipped_templates())]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        bytecode_cache=CompiledTemplates(str(COMPILED), pattern=_compiled_name(kind)),
    )
    made.policies["ext.i18n.trimmed"] = True
    made.install_gettext_callables(_looked_up, _counted, newstyle=True, pgettext=_in_its_meaning)  # type: ignore[attr-defined]
    made.globals["count"] = figures.count
    return made


def _looked_up(text: str) -> str:
    """A text of a template, its translation made safe to stand in a page."""
    return _safe(say(text), text)


def _counted(one: str, many: str, how_many: int) -> str:
    return _safe(form(one, many, how_many), one)


def _in_its_meaning(meaning: str, text: str) -> str:
    return _safe(say_as(meaning, text), text)


def _safe(translated: str, text: str) -> str:
    """A translation with no more tags, and no more places to fill, than the English text has."""
    if translated == text:
        return translated
    if not has_markup(text):
        translated = str(escape(translated))
    return _PERCENT.sub(lambda found: found[1] or "%%", translated)


def render(own: Templates, page: Templated) -> bytes:
    """One page as HTML, by a bench's own templates and the shipped ones.

    Tags are not indented: no reader sees it, and it would be a thirtieth of a long page.
    In what is shown as it is written no line begins with a tag, as all signs of it are escaped.

    Raises
    ------
    OwnTemplateError
        If a template of the bench cannot be used.
    """
    try:
        text = environment(own).get_template(page.template).render(page=page)
    except Exception as error:
        if own.texts:  # whatever somebody wrote in a template is no fault of ours
            raise OwnTemplateError.of(page.template, error) from error
        raise
    return _INDENT.sub("\n", text).encode()
