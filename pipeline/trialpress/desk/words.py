"""``words``: every text of the pages in a file, for a translator to fill.

In:  the package's code and templates, the bench's own templates, and what is translated already.
Out: ``data/words/<language>.po``, brought up to date.

     A translation that comes with the package is brought up to date in the same way.

Short: the ``words`` stage does the work; the site's templates, which it may not import, are here.
"""

from __future__ import annotations

from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.pofile import PoFileError

import trialpress
from trialpress import words
from trialpress.bench import Bench
from trialpress.charts import shipped_templates
from trialpress.desk.append import ChangingFileError
from trialpress.desk.replacing import replace_durably, replace_unchanged
from trialpress.errors import FaultyDataError, UsageError
from trialpress.lock import locked
from trialpress.ordinary_file import read_ordinary
from trialpress.words import locale_of
from trialpress.words.catalogue import (
    Translated,
    brought_up_to_date,
    catalogue,
    say_what_is_shipped,
    shipped_translation,
)


class UnknownLanguageError(UsageError):
    """A language on the command line is none."""

    def __init__(self, tag: str) -> None:
        super().__init__(f"{tag} is no language. Write its tag, such as de, pt-BR or zh-Hant.")


class UnreadableTranslationError(FaultyDataError):
    """What is translated already cannot be read, so nothing was written over it."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} cannot be read as a gettext file (PO), so it was left as it is. "
            "Mend it, or move it away to begin anew."
        )


class UnreadableTemplateError(FaultyDataError):
    """A template of the bench cannot be read, so that its texts are not known."""

    def __init__(self, error: OSError) -> None:
        super().__init__(
            f"{error.filename} cannot be read: {error.strerror}. Mend it, or take it away."
        )


def write_words(bench: Bench, tag: str) -> Translated:
    """Write every text of the pages to the bench's translation; what is translated there stays.

    Raises
    ------
    UnknownLanguageError
        If there is no such language.
    UnreadableTemplateError
        If a template of the bench cannot be read.
    UnreadableTranslationError
        If the file is there but cannot be read.
    ChangingFileError
        If another program saved it meanwhile.
    """
    if locale_of(tag) is None:
        raise UnknownLanguageError(tag)
    path = bench.translation(tag)
    try:
        texts = _texts(tag, bench.own_templates)
    except OSError as error:
        raise UnreadableTemplateError(error) from error
    shipped = shipped_translation(tag)
    if shipped is not None:
        say_what_is_shipped(texts, shipped)
    with locked(bench):
        try:
            before = read_ordinary(path, within=bench.root)
        except FileNotFoundError:
            before = None
        except OSError as error:
            raise UnreadableTranslationError(bench.name_of(path)) from error
        try:
            data, translated = brought_up_to_date(before, texts)
        except (PoFileError, ValueError) as error:
            raise UnreadableTranslationError(bench.name_of(path)) from error
        if not replace_unchanged(path, before, data):
            raise ChangingFileError(path)
    return translated


def write_shipped(tag: str) -> Translated:
    """Bring the translation that comes with the package up to date with the texts there are."""
    path = Path(words.__file__).parent / f"{tag}.po"
    before = path.read_bytes() if path.exists() else None
    data, translated = brought_up_to_date(before, _texts(tag), with_lines=False)
    replace_durably(path, data)
    return translated


def _texts(tag: str, *more: Path) -> Catalog:
    folders = (Path(trialpress.__file__).parent, shipped_templates(), *more)
    return catalogue([folder for folder in folders if folder.is_dir()], tag)
