"""``words``: every text of the pages in a file, for a translator to fill.

In:  the package's code and templates, the bench's own templates, and what is translated already.
Out: ``data/words/<language>.po``, brought up to date.

Short: the ``words`` stage does the work; the site's templates, which it may not import, are here.
"""

from __future__ import annotations

from pathlib import Path

from babel.messages.pofile import PoFileError

import trialpress
from trialpress.bench import Bench
from trialpress.charts import shipped_templates
from trialpress.errors import FaultyDataError, UsageError
from trialpress.words import locale_of
from trialpress.words.catalogue import Translated, bring_up_to_date, catalogue


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


def write_words(bench: Bench, tag: str) -> Translated:
    """Write every text of the pages to the bench's translation; what is translated there stays.

    Raises
    ------
    UnknownLanguageError
        If there is no such language.
    UnreadableTranslationError
        If the file is there but cannot be read.
    """
    if locale_of(tag) is None:
        raise UnknownLanguageError(tag)
    package = Path(trialpress.__file__).parent
    path = bench.translation(tag)
    folders = (package, shipped_templates(), bench.own_templates)
    try:
        return bring_up_to_date(
            path, catalogue([folder for folder in folders if folder.is_dir()], tag)
        )
    except (PoFileError, ValueError) as error:
        raise UnreadableTranslationError(bench.name_of(path)) from error
