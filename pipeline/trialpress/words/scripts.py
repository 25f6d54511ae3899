"""The language of the pages, for their scripts.

In:  the language spoken and the folders with scripts.
Out: a script with the translations of what the scripts say, its rule of plural forms and its
     decimal sign.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from babel.numbers import get_decimal_symbol

from trialpress.words.catalogue import catalogue
from trialpress.words.language import spoken


def language_script(folders: Sequence[Path]) -> str:
    """What ``site.js`` takes the language from, before any other script.

    Parameters
    ----------
    folders : sequence of Path
        Where the scripts lie.
    """
    language = spoken()
    said = [
        one.id if isinstance(one.id, str) else one.id[0] for one in catalogue(folders) if one.id
    ]
    texts = {
        text: forms[0] if len(forms) == 1 else forms
        for text in said
        if (forms := language.texts.get(text))
    }
    return (
        "window.trialpressLanguage = {\n"
        f"texts: {json.dumps(texts, ensure_ascii=False, indent=0)},\n"
        f"form: (n) => Number({language.plural}),\n"
        f"decimal: {json.dumps(get_decimal_symbol(language.locale))},\n"
        "};\n"
    )
