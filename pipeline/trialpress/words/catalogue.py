"""The catalogue of all texts, and a bench's translation of it.

In:  the package's own code and templates; a translation as a gettext file (PO).
Out: the catalogue, brought up to date with what is translated already; a ``Language``, or what is
     wrong with the file.
"""

from __future__ import annotations

import io
import json
import re
import string
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from gettext import GNUTranslations
from pathlib import Path
from typing import BinaryIO

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import PoFileError, read_po, write_po
from babel.numbers import get_decimal_symbol

from trialpress import __version__
from trialpress.words.language import Language, locale_of, spoken
from trialpress.words.markup import markup_of

_KEYWORDS = {
    "say": None,
    "message": None,
    "say_count": (1, 2),
    "say_as": ((1, "c"), 2),
    "count": (2, 3),
    "_": None,
    "gettext": None,  # what Jinja makes of a trans block
    "ngettext": (1, 2),
    "pgettext": ((1, "c"), 2),
    "sayCount": (1, 2),
}
_OPTIONS = {
    "**.html": dict.fromkeys(
        ("trimmed", "trim_blocks", "lstrip_blocks", "newstyle_gettext"), "true"
    )
}
_NOT_PUBLISHED = {"vendor", "sheet", "cli", "desk"}
_HEADER = """\
# The texts of a bench's pages. Fill each msgstr; what stands in {braces} or %(like this)s, and tags
# in <angle brackets>, stay as they are. Left empty, a text stays English."""
_HEADER_OVER_SHIPPED = """\
# The texts of a bench's pages. They are translated already, as beside each: fill a msgstr where
# this bench says it in other words. What stands in {braces} or %(like this)s, and tags in
# <angle brackets>, stay as they are."""
_SHIPPED = Path(__file__).parent
_CLOCK = re.compile(rb'"POT-Creation-Date: .*\n')
_NOTES = ("For translators:",)
_LINE = re.compile(
    r"""(#.*|((msgctxt|msgid|msgid_plural|msgstr(\[\d+\])?)\s*)?"([^"\\]|\\.)*")?\s*"""
)
MOST_LETTERS = 5000
"""Of one text; the longest of the pages has a fifth of that."""
_PERCENT_NAME = re.compile(r"%\((\w+)\)s")
_PLURAL_RULE = re.compile(r"(?:[n0-9()<>=!&|?:+*\s-]|%\s*[1-9])+")
"""Rules of CLDR and gettext's manual: they become code, so nothing is divided by what may be 0."""
FolderState = frozenset[tuple[str, int, int]]
"""Every file with the time it was saved, in nanoseconds, and its size."""
Blank = tuple[str, str, str]
"""What is filled in: a name, how it is converted and how it is written."""


@dataclass(frozen=True)
class Fault:
    """Something wrong in a translation: the line, the text it is about, and which rule it breaks.

    ``rule`` is ``syntax``, ``length``, ``forms``, ``names`` or ``tags``.
    """

    line: int | None
    text: str
    rule: str


class CompiledTranslations(GNUTranslations):
    """Translations, from the bytes of a compiled catalogue, that another process can be given."""

    def __init__(self, compiled: bytes) -> None:
        super().__init__(io.BytesIO(compiled))
        self.compiled = compiled

    def __reduce__(self) -> tuple[object, ...]:
        """The rule of plural forms is code, made anew from the catalogue."""
        return CompiledTranslations, (self.compiled,)


@dataclass(frozen=True)
class Translated:
    """How much of the catalogue a translation covers.

    ``changed`` texts have the translation of what they were before: it is not used until somebody
    has looked at it and taken its mark away (fuzzy).
    """

    texts: int
    translated: int
    changed: int


def schema_texts(
    opened: BinaryIO, _keywords: object, _tags: object, options: object
) -> Iterator[tuple[int, None, str, list[str]]]:
    """Titles and descriptions of a table and its columns, as Babel asks an extractor for them.

    Units too, where they are words and no symbol.
    """
    del options
    schema = json.load(opened)
    for described in (schema, *schema["fields"]):
        for text in ("title", "description", "unit"):
            if text in described and (text != "unit" or " " in described[text]):
                yield 1, None, described[text], []


_SOURCES = [
    ("**.py", "python"),
    ("**.html", "jinja2"),
    ("**.js", "javascript"),
    ("**/schemas/*.json", f"{__name__}:schema_texts"),
]


def catalogue(folders: Sequence[Path], tag: str | None = None) -> Catalog:
    """Every text of the code and the templates, in English.

    Parameters
    ----------
    folders : sequence of Path
        Where the code and the templates lie.
    tag : str, optional
        The language to be translated to, for its rule of plural forms.
    """
    locale = locale_of(tag) if tag else None
    texts = Catalog(
        locale=locale,
        header_comment=_HEADER,
        project="Trialpress",
        version=__version__,
        charset="utf-8",
        fuzzy=False,
    )
    for folder in folders:
        for file, line, text, notes, meaning in _texts_below(folder, _as_it_is(folder)):
            texts.add(text, None, [(file, line)], auto_comments=notes, context=meaning)
    return texts


@lru_cache(maxsize=8)
def _texts_below(
    folder: Path, _as_it_is: FolderState
) -> Sequence[tuple[str, int, str | tuple[str, ...], list[str], str | None]]:
    """File, line, text, notes and meaning; looked for anew only where a file was saved since."""
    found = extract_from_dir(
        folder,
        _SOURCES,
        _OPTIONS,
        keywords=_KEYWORDS,
        comment_tags=_NOTES,
        directory_filter=lambda path: Path(path).name not in _NOT_PUBLISHED,
    )
    return sorted(found, key=lambda entry: entry[:2])


def _as_it_is(folder: Path) -> FolderState:
    files = (path for path in folder.rglob("*.*") if path.is_file())
    stats = ((str(path), path.stat()) for path in files)
    return frozenset((path, stat.st_mtime_ns, stat.st_size) for path, stat in stats)


def brought_up_to_date(
    before: bytes | None, texts: Catalog, *, with_lines: bool = True
) -> tuple[bytes, Translated]:
    """The catalogue as a file, with the translations that the file before has already.

    A text that was changed a little keeps its translation, marked as to be looked at again; until
    then it is not used. Without lines a text does not say where it stands, so that the file
    changes only where texts do.

    Raises
    ------
    babel.messages.pofile.PoFileError
        If what is there is no gettext file.
    """
    merged = texts
    if before is not None:
        merged = read_po(io.BytesIO(before), locale=texts.locale, abort_invalid=True)
        merged.update(texts)
    written = io.BytesIO()
    write_po(written, merged, width=100, no_location=not with_lines)
    data = _CLOCK.sub(b"", written.getvalue())  # the same texts make the same file
    named = [message for message in merged if message.id]
    done = [message for message in named if _is_begun(message)]
    return data, Translated(len(named), len(done), sum(message.fuzzy for message in named))


def shipped_translation(tag: str) -> Path | None:
    """The translation to a language, or to what it is a variety of, that comes with the package."""
    locale = locale_of(tag)
    names = (tag, locale.language) if locale else ()
    files = (_SHIPPED / f"{name}.po" for name in names)
    return next((file for file in files if file.is_file()), None)


def say_what_is_shipped(texts: Catalog, shipped: Path) -> None:
    """Note beside each text of a catalogue how it is translated without the bench's own words."""
    texts.header_comment = _HEADER_OVER_SHIPPED
    for ours in _shipped_messages(shipped):
        message = texts.get(_forms(ours.id)[0], ours.context)
        if message is not None:
            message.auto_comments.append(f"Shipped as: {' | '.join(_forms(ours.string))}")


def read_language(
    tag: str, data: bytes, shipped: Path | None = None
) -> tuple[Language | None, tuple[Fault, ...]]:
    """A language with the translations of a gettext file, or all that is wrong with the file.

    What the file does not translate is as in ``shipped``, a file that comes with the package.
    """
    locale = locale_of(tag)
    if locale is None:
        raise ValueError(tag)
    for number, line in enumerate(data.splitlines(), start=1):  # what Babel would pass over
        if not _LINE.fullmatch(line.decode("utf-8", errors="replace")):
            return None, (Fault(number, line.decode("utf-8", errors="replace"), "syntax"),)
    try:
        texts = read_po(io.BytesIO(data), locale=locale, abort_invalid=True)
        _refuse_odd_rule(texts.plural_expr)
        translated = [message for message in texts if message.id and _is_begun(message)]
        faults = tuple(fault for message in translated for fault in _faults(message))
        if faults:
            return None, faults
        if shipped is not None:
            translated += _fill(texts, shipped)
        compiled = io.BytesIO()
        write_mo(compiled, texts)
        translations = CompiledTranslations(compiled.getvalue())
    except PoFileError as error:
        return None, (Fault(error.lineno + 1, error.line.strip(), "syntax"),)
    except (ValueError, LookupError):  # of the encoding, or of the rule of plural forms
        return None, (Fault(None, "", "syntax"),)
    forms = {_forms(message.id)[0]: _forms(message.string) for message in translated}
    return Language(tag, locale, translations, forms, texts.plural_expr), ()


@cache
def _shipped_messages(path: Path) -> tuple[Message, ...]:
    """What a shipped file translates, read once: a preview reads its bench anew every time."""
    with path.open("rb") as opened:
        return tuple(one for one in read_po(opened) if one.id and _is_begun(one))


def _fill(texts: Catalog, shipped: Path) -> list[Message]:
    """Add to a translation what it leaves open, and say what was added."""
    added = []
    for one in _shipped_messages(shipped):
        own = texts.get(_forms(one.id)[0], one.context)
        if own is None or not _is_begun(own):
            texts.delete(_forms(one.id)[0], one.context)
            texts.add(one.id, one.string, context=one.context)
            added.append(one)
    return added


def _refuse_odd_rule(plural: str) -> None:
    if not _PLURAL_RULE.fullmatch(plural):
        raise ValueError(plural)


def _is_begun(message: Message) -> bool:
    return any(_forms(message.string)) and not message.fuzzy


def _forms(text: str | Sequence[str] | None) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text or ())


def _faults(message: Message) -> Iterator[Fault]:
    """What a translation must have: all of its forms, the names and the elements of the text."""
    texts, forms = _forms(message.id), _forms(message.string)
    if max(map(len, (*texts, *forms))) > MOST_LETTERS:  # Python's reader of HTML takes their square
        yield Fault(message.lineno, texts[0], "length")
        return
    if not all(forms):
        yield Fault(message.lineno, texts[0], "forms")
        return
    blanks = _blanks(texts[-1])
    needed = {b for b in blanks if b[0] != "count"} if message.pluralizable else blanks
    for form in forms:
        try:
            is_right = needed <= _blanks(form) <= blanks
        except ValueError:  # a brace without its other one
            is_right = False
        if not is_right:
            yield Fault(message.lineno, texts[0], "names")
        elif markup_of(form) != markup_of(texts[-1]):
            yield Fault(message.lineno, texts[0], "tags")


def _blanks(text: str) -> set[Blank]:
    """What is filled in, in either notation."""
    in_percent = {(name, "", "") for name in _PERCENT_NAME.findall(text)}
    if in_percent:
        return in_percent
    parts = string.Formatter().parse(text)
    return {(name, how or "", written or "") for _, name, written, how in parts if name is not None}


def language_script(folders: Sequence[Path]) -> str:
    """What ``site.js`` takes the language from, before any other script.

    Parameters
    ----------
    folders : sequence of Path
        Where the scripts lie.
    """
    language = spoken()
    scripted = [
        message.id if isinstance(message.id, str) else message.id[0]
        for message in catalogue(folders)
        if message.id
    ]
    texts = {
        text: forms[0] if len(forms) == 1 else forms
        for text in scripted
        if (forms := language.texts.get(text))
    }
    return (
        "window.trialpressLanguage = {\n"
        f"texts: {json.dumps(texts, ensure_ascii=False, indent=0)},\n"
        f"form: (n) => Number({language.plural}),\n"
        f"decimal: {json.dumps(get_decimal_symbol(language.locale))},\n"
        "};\n"
    )
