"""A site put on a branch of a git remote as one commit on top of what was put there before.

In:  a site, the remote, the branch.
Out: the branch with one commit more. A host's own files on the branch stay. All is done in a
     repository of its own that is gone afterwards: the tester's working tree, index and branches
     are not touched, and nothing is ever forced, so no history is rewritten.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from trialpress.bench import Settings
from trialpress.desk.publish.git import Git, private_environment
from trialpress.desk.publish.site import HOST_FILES, Site, SiteChanges, compare
from trialpress.desk.scratch import scratch_folder
from trialpress.errors import UsageError

MARK = "Trialpress-Tree"
KEPT = "Trialpress-Kept"
"""In a commit of ours, the trailers: its own tree, and each file in it that is not ours."""
TIP = "refs/heads/tip"


class ForeignBranchError(UsageError):
    """The branch holds something else than a published site."""

    def __init__(self, branch: str, path: str) -> None:
        super().__init__(
            f"{path} on branch {branch} was not put there by trialpress publish, so nothing was "
            "put on top of it. Choose another branch with --branch, or remove this one yourself if "
            "it is not needed."
        )


class ForeignChangeError(UsageError):
    """A file that publishing would change is not as it was left."""

    def __init__(self, branch: str, path: str) -> None:
        super().__init__(
            f"{path} on branch {branch} is not as trialpress publish left it, so nothing was "
            "changed. Take that change back, or choose another branch with --branch. Files of "
            "other names are left alone."
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

    changes: SiteChanges
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
    ForeignBranchError, ForeignChangeError, BranchNameError
        If the branch cannot be written to.
    """
    url = _address(target, _git_in(target.bench, target, settings))
    with scratch_folder(target.bench / "build", "publish") as folder:
        git = _git_in(folder, target, settings)
        git("beginning", "init", "--quiet", "--bare", ".")
        tip = _fetch(git, url, target.branch)
        now = _files(git, tip) if tip else {}
        owned = _owned(git, url, target.branch, now) if tip else {}
        kept = {path: entry for path, entry in now.items() if path not in owned}
        hosts = HOST_FILES & kept.keys()
        wanted = {path: entry for path, entry in _stored(git, site).items() if path not in hosts}
        _refuse_foreign(target.branch, now, owned, wanted)
        tree = _write_tree(git, {**kept, **wanted})
        changes = compare({path: now[path] for path in owned if path in now}, wanted)
        message = _message(tree, kept, site, settings)
        commit = None if changes.is_empty else _commit(git, tree, tip, message)
        yield Prepared(changes, tuple(owned), commit, tip, git, url)


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
    """The tip of the branch, fetched alone; None where there is no such branch."""
    listed = git("asking the remote", "ls-remote", url, f"refs/heads/{branch}")
    if not listed.strip():
        return None
    spec = f"+refs/heads/{branch}:{TIP}"
    git("fetching", "fetch", "--quiet", "--no-tags", "--depth=1", url, spec)
    return git("fetching", "rev-parse", TIP).strip()


def _owned(git: Git, url: str, branch: str, now: Mapping[str, str]) -> Mapping[str, str]:
    """Which files of a branch are ours, as the last commit of ours left them.

    A commit of ours names its own tree, so that one that was amended is none; a branch that a host
    has just made holds files of the host alone.
    """
    last = _last_own(git)
    is_cut = git("reading", "rev-parse", "--is-shallow-repository").strip() == "true"
    if last is None and is_cut:
        spec = f"+refs/heads/{branch}:{TIP}"
        git("fetching", "fetch", "--quiet", "--no-tags", "--unshallow", url, spec)
        last = _last_own(git)
    if last is None:
        if others := now.keys() - HOST_FILES:
            raise ForeignBranchError(branch, min(others))
        return {}
    message = git("reading", "log", "-1", "--format=%B", last).splitlines()
    kept = {line.removeprefix(f"{KEPT}: ") for line in message if line.startswith(f"{KEPT}: ")}
    return {path: entry for path, entry in _files(git, last).items() if path not in kept}


def _last_own(git: Git) -> str | None:
    """The newest commit of ours among those fetched."""
    for record in git("reading", "log", "--format=%H %T%n%B%x00", TIP).split("\0"):
        names, _, body = record.strip().partition("\n")
        commit, _, tree = names.partition(" ")
        if tree and f"{MARK}: {tree}" in body.splitlines():
            return commit
    return None


def _refuse_foreign(
    branch: str, now: Mapping[str, str], owned: Mapping[str, str], wanted: Mapping[str, str]
) -> None:
    """Refuse where a file of ours was changed, or a page would take the place of another's file."""
    changed = {path for path, entry in owned.items() if now.get(path, entry) != entry}
    taken = {
        path for path in wanted.keys() & now.keys() - owned.keys() if now[path] != wanted[path]
    }
    if foreign := changed | taken:
        raise ForeignChangeError(branch, min(foreign))


def _stored(git: Git, site: Site) -> dict[str, str]:
    """Put the files into the repository byte for byte, whatever filters git is told to use."""
    paths = list(site.files)
    listing = "".join(f"{(site.folder / path).resolve()}\n" for path in paths)
    hashed = git("storing", "hash-object", "-w", "--no-filters", "--stdin-paths", text=listing)
    return {path: f"100644 blob {name}" for name, path in zip(hashed.split(), paths, strict=True)}


def _write_tree(git: Git, files: Mapping[str, str]) -> str:
    """A tree of files that are in the repository, each given as mode, type and name."""
    entries = ((path, *entry.split()) for path, entry in files.items())
    index = "".join(f"{mode} {name}\t{path}\0" for path, mode, _, name in entries)
    git("storing", "update-index", "-z", "--index-info", text=index)
    return git("storing", "write-tree").strip()


def _message(tree: str, kept: Iterable[str], site: Site, settings: Settings) -> str:
    trailers = [f"{MARK}: {tree}", *(f"{KEPT}: {path}" for path in sorted(kept))]
    return f"Publish {settings.name} as of {site.as_of}\n\n" + "\n".join(trailers) + "\n"


def _commit(git: Git, tree: str, tip: str | None, message: str) -> str:
    parents = ["-p", tip] if tip else []
    return git("committing", "commit-tree", tree, *parents, text=message).strip()


def _files(git: Git, tree: str) -> dict[str, str]:
    listed = git("listing", "ls-tree", "-r", "-z", "--full-tree", tree)
    entries = (entry.partition("\t") for entry in listed.split("\0") if entry)
    return {path: entry for entry, _, path in entries}


def _git_in(folder: Path, target: GitTarget, settings: Settings) -> Git:
    environment = private_environment(target.environment, settings.name, settings.contact)
    return Git(folder, environment)
