"""The tester's own git, run in one folder.

In:  a folder, the environment of the command line, the words of a git command.
Out: what git says, or ``GitFailedError`` with its own words. Passwords in addresses are left out of
     whatever is shown.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from trialpress.errors import OutsideWorldError

_PASSWORD = re.compile(r"(://)[^/@\s]+@")
_POINTERS = ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_OBJECT_DIRECTORY")


class GitFailedError(OutsideWorldError):
    """Git could not do something; its own words say why."""

    def __init__(self, doing: str, words: str) -> None:
        shown = without_passwords(words.strip()) or "it said nothing"
        super().__init__(
            f"git failed {doing}:\n{shown}\n"
            "The branch has either all of the new site or none. Mend this, then publish again."
        )


def without_passwords(text: str) -> str:
    """A text without what stands before the host in the addresses in it."""
    return _PASSWORD.sub(r"\1", text)


@dataclass(frozen=True)
class Git:
    """Git in one folder; ``environment`` None is that of this process, whatever it points at."""

    folder: Path
    environment: Mapping[str, str] | None = None

    def __call__(self, doing: str, *arguments: str, text: str = "") -> str:
        """What git says.

        Raises
        ------
        GitFailedError
            If it fails.
        """
        done = self.run(*arguments, text=text)
        if done.returncode != 0:
            raise GitFailedError(doing, done.stderr)
        return done.stdout

    def answer(self, *arguments: str) -> str:
        """What git says; nothing where there is no git, no repository, or nothing to say."""
        try:
            done = self.run(*arguments)
        except GitFailedError:
            return ""
        return done.stdout if done.returncode == 0 else ""

    def run(self, *arguments: str, text: str = "") -> subprocess.CompletedProcess[str]:
        """One command, whether it succeeds or not; ``GitFailedError`` where it cannot start."""
        try:
            return subprocess.run(  # noqa: S603  arguments are ours, names were checked
                ["git", *arguments],  # noqa: S607  the tester's own git
                cwd=self.folder,
                env=self.environment,
                input=text,
                check=False,
                capture_output=True,
                encoding="utf-8",
                errors="replace",
            )
        except OSError as error:
            raise GitFailedError("to start", str(error)) from error


def private_environment(environment: Mapping[str, str], name: str, contact: str) -> dict[str, str]:
    """An environment that points git at no other repository, and asks for nothing.

    Commits are by the bench itself, not from the tester's private address.
    """
    kept = {key: value for key, value in environment.items() if key not in _POINTERS}
    kept |= {"GIT_TERMINAL_PROMPT": "0", "LC_ALL": "C.UTF-8"}
    for role in ("AUTHOR", "COMMITTER"):
        kept |= {f"GIT_{role}_NAME": name, f"GIT_{role}_EMAIL": contact}
    return kept
