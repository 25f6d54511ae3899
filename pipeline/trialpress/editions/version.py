"""Version numbers of editions, and what a change of the data makes of one.

In:  text such as 1.4.0.
Out: ``Version``, in order. A new column or a stricter rule is major, new rows are minor, a
     corrected value is a patch.

Source: Semantic Versioning 2.0.0, without pre-releases and build metadata.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import IntEnum

from trialpress.errors import UsageError

_NUMBER = "(0|[1-9][0-9]{0,5})"
_VERSION = re.compile(rf"{_NUMBER}\.{_NUMBER}\.{_NUMBER}", re.ASCII)


class WrongVersionError(UsageError):
    """A text is no version."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text!r} is no version of an edition. Write three whole numbers, such as 1.4.0."
        )


class Step(IntEnum):
    """How far a change goes; the value is the place in the number, from the right."""

    PATCH = 0
    MINOR = 1
    MAJOR = 2

    @property
    def word(self) -> str:
        """The step in the words of semantic versions."""
        return self.name.lower()


@dataclass(frozen=True, order=True)
class Version:
    """A semantic version."""

    major: int
    minor: int
    patch: int

    @classmethod
    def of(cls, text: str) -> Version:
        """Read a version.

        Raises
        ------
        WrongVersionError
            If the text is none.
        """
        found = _VERSION.fullmatch(text)
        if found is None:
            raise WrongVersionError(text)
        return cls(*map(int, found.groups()))

    def after(self, step: Step) -> Version:
        """The next version that tells of a change that goes so far."""
        if step is Step.MAJOR:
            return Version(self.major + 1, 0, 0)
        if step is Step.MINOR:
            return Version(self.major, self.minor + 1, 0)
        return Version(self.major, self.minor, self.patch + 1)

    def __str__(self) -> str:
        return f"{self.major}.{self.minor}.{self.patch}"


FIRST = Version(1, 0, 0)
