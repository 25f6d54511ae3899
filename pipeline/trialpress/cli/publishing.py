"""``publish``.

In:  a bench with a built site, and where it is to go; the clock.
Out: what would change, or with ``--yes`` what was changed.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from trialpress.bench import Bench
from trialpress.cli.application import BenchOption, QuietOption, app, bench_at, date_of
from trialpress.cli.output import echo, echo_json, progress
from trialpress.errors import FaultyDataError, UsageError

if TYPE_CHECKING:
    from trialpress.bench import Settings
    from trialpress.desk.publish import Site, SiteChanges

PublishJsonOption = Annotated[
    bool, typer.Option("--json", help="Print what changes as JSON, for programs.")
]


class PlaceholderError(FaultyDataError):
    """The settings are not this bench's own yet."""

    def __init__(self, keys: Sequence[str]) -> None:
        super().__init__(
            f"data/bench.toml has the example of a new bench in {' and '.join(keys)}. Write this "
            "bench's own there, run trialpress build, then publish."
        )


class TargetOptionError(UsageError):
    """Not exactly one place to publish to."""

    def __init__(self) -> None:
        super().__init__("Say where to publish to, one place: --to-git REMOTE, or --to-folder DIR.")


@dataclass(frozen=True)
class _Ready:
    """A site compared with its target; ``do`` publishes it."""

    changes: SiteChanges
    live: tuple[str, ...]
    target: str
    do: Callable[[], None]


@app.command(epilog="Example: trialpress publish --to-git origin --branch pages --yes")
def publish(  # noqa: PLR0913, PLR0917  one parameter an option
    bench: BenchOption = Path(),
    to_git: Annotated[
        str | None, typer.Option("--to-git", metavar="REMOTE", help="A git remote, or its address.")
    ] = None,
    branch: Annotated[
        str, typer.Option("--branch", help="The branch that holds nothing but the site.")
    ] = "pages",
    to_folder: Annotated[
        Path | None, typer.Option("--to-folder", metavar="DIR", help="A folder, made if need be.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="DIR", help="What was built, if not build/.")
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Do it; without, only show it.")] = False,  # noqa: FBT002
    allow_missing: Annotated[  # noqa: FBT002
        bool, typer.Option("--allow-missing", help="Withdraw published pages that are gone.")
    ] = False,
    as_json: PublishJsonOption = False,  # noqa: FBT002
    quiet: QuietOption = False,  # noqa: FBT002
) -> None:
    """Show what publishing the site would change; with --yes, do it.

    On a git branch it becomes one commit on top of the ones made before; nothing is ever forced.
    In a folder only files published before are changed or removed. Published pages are recorded
    in data/published.csv: each stays from then on, moves or is withdrawn, never silently.
    """
    from trialpress.desk.publish import (  # noqa: PLC0415  imports slowly
        VanishingPagesError,
        embargo_warnings,
        read_published_pages,
        read_site,
        record_published,
        vanishing,
    )
    from trialpress.swap import outputs_held  # noqa: PLC0415

    folder, today, target = bench_at(bench), date_of(None), _target(to_git, branch, to_folder)
    built = out if out is not None else folder.root / "build"
    with ExitStack() as stack:
        stack.enter_context(outputs_held(built))
        site, settings = read_site(folder, built, today), _settings(folder)
        say = stack.enter_context(progress(quiet=quiet or as_json, is_still=True))
        ready = stack.enter_context(_ready(folder, site, settings, target, say))
        for warning in embargo_warnings(folder, today):
            echo(f"warning: {warning}", err=True)
        gone = vanishing(site, ready.live, read_published_pages(folder, today))
        if gone and not allow_missing:
            raise VanishingPagesError(gone)
        if yes:
            say(f"Publishing to {ready.target}.")
            ready.do()
            record_published(folder, site.pages, gone, today)
        _tell(ready, gone, _Manner(done=yes, as_json=as_json, quiet=quiet))


@dataclass(frozen=True)
class _Target:
    remote: str | None
    branch: str
    folder: Path | None

    @property
    def words(self) -> str:
        return str(self.folder or f"branch {self.branch} of {self.remote}")


@dataclass(frozen=True)
class _Manner:
    done: bool
    as_json: bool
    quiet: bool


def _target(remote: str | None, branch: str, folder: Path | None) -> _Target:
    if (remote is None) == (folder is None):
        raise TargetOptionError
    return _Target(remote, branch, folder)


@contextmanager
def _ready(
    bench: Bench, site: Site, settings: Settings, target: _Target, say: Callable[[str], None]
) -> Iterator[_Ready]:
    from trialpress.desk.publish import (  # noqa: PLC0415
        GitTarget,
        mirror,
        plan_mirror,
        prepared_commit,
        push,
    )

    say(f"Comparing the site with {target.words}.")
    if target.folder is not None:
        plan = plan_mirror(target.folder, site, bench)
        yield _Ready(plan.changes, plan.live, target.words, lambda: mirror(plan, site))
        return
    place = GitTarget(bench.root, str(target.remote), target.branch, os.environ)
    with prepared_commit(place, site, settings) as commit:
        yield _Ready(commit.changes, commit.live, target.words, lambda: push(commit, target.branch))


def _settings(bench: Bench) -> Settings:
    from trialpress.intake import FaultyBenchError  # noqa: PLC0415
    from trialpress.intake.settings import (  # noqa: PLC0415
        PLACEHOLDERS,
        is_placeholder,
        read_settings,
    )

    read = read_settings(bench)
    if read.settings is None:
        raise FaultyBenchError(read.findings)
    if left := [key for key in PLACEHOLDERS if is_placeholder(read.settings, key)]:
        raise PlaceholderError(left)
    return read.settings


def _tell(ready: _Ready, gone: tuple[str, ...], manner: _Manner) -> None:
    changes = ready.changes
    lists = (("added", changes.added), ("changed", changes.changed), ("removed", changes.removed))
    if manner.as_json:
        paths_by_name = {name: list(paths) for name, paths in lists}
        echo_json({"published": manner.done, **paths_by_name, "vanished": list(gone)})
        return
    if manner.quiet:
        return
    for name, paths in lists:
        _tell_paths(name, paths)
    if changes.is_empty:
        echo(f"{ready.target} has this site already.")
    elif manner.done:
        echo(f"Published to {ready.target}.")
    else:
        echo(f"Nothing was published. To publish this to {ready.target}, add --yes.")


def _tell_paths(name: str, paths: tuple[str, ...]) -> None:
    """Pages by name, other files counted."""
    pages = [path for path in paths if path.endswith(".html")]
    for page in pages:
        echo(f"  {name}: {page}")
    if others := len(paths) - len(pages):
        echo(f"  {name}: {others} files that are no pages")
