"""A site put on a branch of a git remote as one commit on top of what was put there before.

In:  a site, the remote, the branch.
Out: the branch with one commit more. All is done in a repository of its own that is gone
     afterwards: the tester's working tree, index and branches are not touched, and nothing is
     ever forced, so no history is rewritten.
"""

from __future__ import annotations

import re
import subprocess
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from trialpress.bench import Settings
from trialpress.desk.publish import Changes, Site, compare
from trialpress.errors import OutsideWorldError, UsageError

MARK = "Trialpress-Tree"
TIP = "refs/heads/tip"
_POINTERS = ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_OBJECT_DIRECTORY")
_PASSWORD = re.compile(r"(://)[^/@\s]+@")


class GitFailedError(OutsideWorldError):
    """Git could not do something; its own words say why."""

    def __init__(self, doing: str, words: str) -> None:
        told = _PASSWORD.sub(r"\1", words.strip()) or "it said nothing"
        super().__init__(
            f"git failed {doing}:\n{told}\n"
            "The branch has either all of the new site or none. Mend this, then publish again."
        )


class ForeignBranchError(UsageError):
    """The branch holds commits that were not made here."""

    def __init__(self, branch: str, commit: str, subject: str) -> None:
        super().__init__(
            f"The last commit of branch {branch} was not made by trialpress publish "
            f"({commit[:10]} “{subject}”), so nothing was put on top of it. "
            "Choose another branch with --branch, or remove this one yourself if it is not needed."
        )


class BranchNameError(UsageError):
    """A branch or a remote has no usable name."""

    def __init__(self, kind: str, name: str) -> None:
        super().__init__(f"{name!r} is no name of a {kind}. Give another, such as pages or origin.")


@dataclass(frozen=True)
class GitTarget:
    """A branch of a remote: an address, or a name that git knows in the bench's folder.

    ``environment`` is that of the command, for what git itself looks up there.
    """

    bench: Path
    remote: str
    branch: str
    environment: Mapping[str, str]


@dataclass(frozen=True)
class Prepared:
    """A commit that is ready to be pushed; ``tip`` is what the branch holds now, if anything."""

    changes: Changes
    live: tuple[str, ...]
    commit: str | None
    tip: str | None
    git: Git
    url: str


@contextmanager
def prepared_commit(target: GitTarget, site: Site, settings: Settings) -> Iterator[Prepared]:
    """Fetch the branch, and make the commit that would go on top of it.

    Raises
    ------
    GitFailedError
        If git is not there, or the remote cannot be reached.
    ForeignBranchError, BranchNameError
        If the branch cannot be written to.
    """
    url = _address(target, _git_in(target.bench, target, settings))
    with tempfile.TemporaryDirectory(prefix="trialpress-") as folder:
        git = _git_in(Path(folder), target, settings)
        git("beginning", "init", "--quiet", "--bare", ".")
        tip = _fetch(git, url, target.branch)
        tree = _write_tree(git, site)
        now = _files(git, tip) if tip else {}
        changes = compare(now, _files(git, tree))
        commit = None if changes.is_empty else _commit(git, tree, tip, site, settings)
        yield Prepared(changes, tuple(now), commit, tip, git, url)


def push(prepared: Prepared, branch: str) -> None:
    """Put the commit on the branch; git itself refuses if somebody else was quicker.

    Raises
    ------
    GitFailedError
        If the remote cannot be reached or refuses.
    """
    if prepared.commit:
        refspec = f"{prepared.commit}:refs/heads/{branch}"
        prepared.git("pushing", "push", "--quiet", prepared.url, refspec)


def _address(target: GitTarget, git: Git) -> str:
    """The remote's address; one that git does not know by name is an address itself."""
    if not target.remote or target.remote.startswith("-"):
        raise BranchNameError("remote", target.remote)
    is_reserved = target.branch == "HEAD" or target.branch.startswith("-")
    if is_reserved or git.run("check-ref-format", f"refs/heads/{target.branch}").returncode != 0:
        raise BranchNameError("branch", target.branch)
    named = git.run("remote", "get-url", "--push", target.remote)
    if named.returncode == 0:
        address = named.stdout.strip()
        local = target.bench / address
    else:
        address, local = target.remote, Path(target.remote)
    return str(local.resolve()) if local.exists() else address


def _fetch(git: Git, url: str, branch: str) -> str | None:
    """The tip of the branch, fetched alone: everything below it is ours if the tip is."""
    listed = git("asking the remote", "ls-remote", url, f"refs/heads/{branch}")
    if not listed.strip():
        return None
    spec = f"+refs/heads/{branch}:{TIP}"
    git("fetching", "fetch", "--quiet", "--no-tags", "--depth=1", url, spec)
    tip = git("fetching", "rev-parse", TIP).strip()
    message = git("reading", "log", "-1", "--format=%T%n%B", tip)
    tree, _, body = message.partition("\n")
    if f"{MARK}: {tree}" not in body.splitlines():
        raise ForeignBranchError(branch, tip, body.partition("\n")[0])
    return tip


def _write_tree(git: Git, site: Site) -> str:
    """Put the files into the repository byte for byte, whatever filters git is told to use."""
    paths = list(site.files)
    listing = "".join(f"{(site.folder / path).resolve()}\n" for path in paths)
    hashed = git("storing", "hash-object", "-w", "--no-filters", "--stdin-paths", text=listing)
    entries = zip(hashed.split(), paths, strict=True)
    index = "".join(f"100644 {digest}\t{path}\0" for digest, path in entries)
    git("storing", "update-index", "-z", "--index-info", text=index)
    return git("storing", "write-tree").strip()


def _commit(git: Git, tree: str, tip: str | None, site: Site, settings: Settings) -> str:
    message = f"Publish {settings.name} as of {site.as_of}\n\n{MARK}: {tree}\n"
    parents = ["-p", tip] if tip else []
    return git("committing", "commit-tree", tree, *parents, text=message).strip()


def _files(git: Git, tree: str) -> dict[str, str]:
    listed = git("listing", "ls-tree", "-r", "-z", "--full-tree", tree)
    entries = (entry.partition("\t") for entry in listed.split("\0") if entry)
    return {path: facts for facts, _, path in entries}


@dataclass(frozen=True)
class Git:
    """Git in one folder, with an environment that points it at no other repository."""

    folder: Path
    environment: Mapping[str, str]

    def __call__(self, doing: str, *arguments: str, text: str = "") -> str:
        """What git says, or its own words where it fails."""
        done = self.run(*arguments, text=text)
        if done.returncode != 0:
            raise GitFailedError(doing, done.stderr)
        return done.stdout

    def run(self, *arguments: str, text: str = "") -> subprocess.CompletedProcess[str]:
        """One command, whether it succeeds or not."""
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


def _git_in(folder: Path, target: GitTarget, settings: Settings) -> Git:
    """The tester's own git; commits are by the bench itself, not from a private address."""
    kept = {name: value for name, value in target.environment.items() if name not in _POINTERS}
    kept |= {"GIT_TERMINAL_PROMPT": "0", "LC_ALL": "C.UTF-8"}
    for role in ("AUTHOR", "COMMITTER"):
        kept |= {f"GIT_{role}_NAME": settings.name, f"GIT_{role}_EMAIL": settings.contact}
    return Git(folder, kept)
