"""The words, numbers and dates of the pages, in the bench's language.

In:  English texts with named places for what differs, ``"{count} of {all} runs"``; figures; dates.
Out: text in the language that is spoken, English where it has no translation.

A text is looked up where it is put together, so whatever words a page has to be called while the
bench's language is spoken: ``speaking`` does that for a whole build.
"""

from trialpress.words.language import (
    ENGLISH,
    Language,
    form,
    has_capital_nouns,
    locale_of,
    message,
    say,
    say_as,
    say_count,
    speaking,
    spoken,
)

__all__ = [
    "ENGLISH",
    "Language",
    "form",
    "has_capital_nouns",
    "locale_of",
    "message",
    "say",
    "say_as",
    "say_count",
    "speaking",
    "spoken",
]
