"""A preview that begins shows what there is, and none of it outlives the one who began it."""

from __future__ import annotations

import errno
import multiprocessing
import os
import signal
import time
from datetime import date
from multiprocessing.connection import Connection
from pathlib import Path

import pytest

from trialpress import lock
from trialpress.bench import Bench
from trialpress.desk.preview.events import Broadcast, Event, EventKind
from trialpress.desk.preview.site_files import Ahead, site_answer, site_page
from trialpress.desk.preview.watcher import Watcher, _end_with_parent
from trialpress.lock import InUseError
from trialpress.site import MadePage
from trialpress.swap import RETIRED, OutputFolderError, staging_folder

FORK = multiprocessing.get_context("fork")


def watcher(root: Path) -> Watcher:
    out = root / "build" / "preview"
    return Watcher(Bench(root), out, lambda: date(2031, 6, 7), Broadcast(lambda _: None))


def page_in(folder: Path, text: str) -> None:
    folder.mkdir(parents=True)
    (folder / "index.html").write_text(f"<head></head>{text}", encoding="utf-8")


def test_the_last_build_is_shown_until_there_is_a_site_of_the_preview(tmp_path: Path) -> None:
    begun = watcher(tmp_path)
    page_in(tmp_path / "build" / "site", "built")
    assert begun.site == tmp_path / "build" / "site"

    page_in(tmp_path / "build" / "preview" / "site", "previewed")
    assert begun.site == tmp_path / "build" / "preview" / "site"
    assert begun.is_old


def test_a_page_from_before_says_so(tmp_path: Path) -> None:
    page_in(tmp_path / "site", "built")

    old = site_answer(tmp_path / "site", "/", is_old=True)
    new = site_answer(tmp_path / "site", "/")

    mark = b'<meta name="trialpress-preview" content="old">'
    assert (old.status, mark in old.body, mark in new.body) == (200, True, False)


def test_a_site_that_was_put_aside_for_a_new_one_is_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    page_in(tmp_path / "site", "built")
    aside = tmp_path / RETIRED / "site"
    aside.parent.mkdir()
    (tmp_path / "site").rename(aside)
    monkeypatch.setattr(time, "sleep", lambda _: aside.rename(tmp_path / "site"))

    assert site_answer(tmp_path / "site", "/").body.endswith(b"built")


def test_where_there_never_was_a_site_nobody_waits_for_the_look_of_the_sheet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(time, "sleep", lambda _: pytest.fail("it waits"))

    answers = [site_answer(tmp_path / "site", path) for path in ("/static/site.css", "/")]

    assert [answer.status for answer in answers] == [200, 503]


def test_a_page_that_is_made_ahead_comes_before_the_last_one_and_says_so(tmp_path: Path) -> None:
    page_in(tmp_path / "site" / "machines", "before")
    ahead = Ahead(3, MadePage("machines/index.html", b"<head></head>made"))

    page = site_answer(tmp_path / "site", "/machines/", is_old=True, ahead=ahead)

    assert b'<meta name="trialpress-preview" content="ahead 3">' in page.body
    assert b"made" in page.body
    assert b"before" not in page.body


@pytest.mark.parametrize(
    ("target", "page"),
    [
        ("/", "index.html"),
        ("/machines/one.html?x=1", "machines/one.html"),
        ("/machines", "machines/index.html"),
        ("/static/site.css", None),
        ("/../secret.html", None),
    ],
)
def test_the_page_in_view_is_a_page_of_the_site(
    target: str, page: str | None, tmp_path: Path
) -> None:
    page_in(tmp_path / "machines", "all")

    assert site_page(tmp_path, target) == page


def test_who_listens_while_a_site_is_being_built_hears_what_is_made_ahead() -> None:
    broadcast = Broadcast(lambda _: None)
    heard = []
    for kind in (EventKind.BUILDING, EventKind.AHEAD, EventKind.CHECKED, EventKind.BUILT):
        broadcast.send(Event(kind))
        with broadcast.listening() as events:
            heard.append([events.get_nowait().kind for _ in range(events.qsize())])

    assert heard == [
        [],
        [EventKind.AHEAD],
        [EventKind.CHECKED, EventKind.AHEAD],
        [EventKind.CHECKED],
    ]


def _begin_a_builder(said: Connection) -> None:
    builder = FORK.Process(target=_end_with_parent)
    builder.start()
    said.send(builder.pid)
    signal.pause()


def test_what_builds_ends_when_the_preview_is_killed() -> None:
    ours, theirs = FORK.Pipe()
    preview = FORK.Process(target=_begin_a_builder, args=(theirs,))
    preview.start()
    builder = os.pidfd_open(ours.recv())
    assert preview.pid is not None
    os.kill(preview.pid, signal.SIGKILL)
    preview.join()

    ended = multiprocessing.connection.wait([builder], timeout=10)

    os.close(builder)
    assert ended


def test_a_second_build_into_the_same_folder_waits_and_is_told_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("trialpress.swap.PATIENCE_S", 0.02)
    with staging_folder(tmp_path) as staging:
        (staging / "half").write_text("x", encoding="utf-8")
        other = FORK.Process(target=_build_beside, args=(tmp_path,))
        other.start()
        other.join()

        assert other.exitcode == 0
        assert (staging / "half").is_file()


def _build_beside(out: Path) -> None:
    lock._HELD.set(frozenset())  # another program holds nothing
    with pytest.raises(InUseError, match="being changed by another program"), staging_folder(out):
        pass


@pytest.mark.parametrize(
    ("number", "advice"), [(errno.ENOSPC, "Free some space"), (errno.EACCES, "Mend its permis")]
)
def test_what_to_do_goes_with_the_reason(number: int, advice: str, tmp_path: Path) -> None:
    with pytest.raises(OutputFolderError, match=advice), staging_folder(tmp_path):
        raise OSError(number, os.strerror(number))
