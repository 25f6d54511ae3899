"""The whole order, one call a stage.

In:  a bench folder and a date.
Out: ``store.duckdb``, ``dataset/``, ``site/`` and ``report.json`` in the output folder, swapped in
     only when all of them are complete.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum
from pathlib import Path

from trialpress.analyses import Earlier, state_as_it_stood, work_out_analyses
from trialpress.bench import Bench
from trialpress.cache import Cache, keeping
from trialpress.charts import draw_charts
from trialpress.dataset import DatasetListing, write_dataset, write_subsets
from trialpress.editions import read_editions, shelve_editions
from trialpress.intake import (
    CheckedBench,
    FaultyBenchError,
    Finding,
    ReadFiles,
    check_bench,
    read_bench,
    read_files,
)
from trialpress.intake.embargo import embargoes_of
from trialpress.kit import (
    KitOrder,
    KitRequest,
    WrittenKit,
    existing_kits,
    pins_of,
    rows_digest,
    write_kit,
)
from trialpress.measure import measure_runs
from trialpress.products import Products
from trialpress.results import read_out_of_line, work_out
from trialpress.site import PageInView, write_site
from trialpress.store import Store, build_store
from trialpress.swap import staging_folder, swap_in
from trialpress.unchanged import Inputs, remember, unchanged
from trialpress.view import View
from trialpress.view.terms import write_terms
from trialpress.words import speaking

REPORT = "report.json"
KITS = "kit"
MOVEMENT_DAYS = (1, 3)
"""Movements are told since before the latest, and the latest three, bench days."""


class Output(StrEnum):
    """What a build can write; the value is what ``--only`` takes."""

    STORE = "store"
    DATASET = "dataset"
    SITE = "site"

    @property
    def place(self) -> str:
        """The name of the output in the output folder."""
        return "store.duckdb" if self is Output.STORE else self.value

    @property
    def start_at(self) -> str:
        """What to open in it, below the output folder."""
        first = {Output.SITE: "site/index.html", Output.DATASET: "dataset/README.md"}
        return first.get(self, self.place)


@dataclass(frozen=True)
class Order:
    """One build asked for; ``tell`` is called with a few words as each stage begins.

    ``since`` are dates before ``as_of`` that movements are told from, besides those of the latest
    bench days; ``products`` says where what is made is kept, and by how many processes it is made;
    ``in_view`` is a page that somebody waits for.
    """

    bench: Bench
    as_of: date
    out: Path
    outputs: tuple[Output, ...]
    tell: Callable[[str], None]
    since: tuple[date, ...] = ()
    products: Products = field(default_factory=Products)
    in_view: PageInView | None = None


@dataclass(frozen=True)
class KitsOrder:
    """Kits asked for; what is under embargo on ``today`` is marked so on every file of theirs.

    ``requests`` may be blank: then every kit that there is is made anew.
    """

    bench: Bench
    as_of: date
    today: date
    out: Path
    requests: tuple[KitRequest, ...]
    tell: Callable[[str], None]
    cache: Cache = field(default_factory=Cache)


def build(order: Order) -> tuple[Finding, ...]:
    """Build what is asked for, as of one date.

    Returns
    -------
    tuple of Finding
        The warnings that came with the data, but those of hidden rows.

    Raises
    ------
    FaultyBenchError
        If the data have faults; the last outputs stay, the report is written.
    OutputFolderError
        If the output folder cannot be written.
    """
    cache, inputs = order.products.cache, _inputs(order)
    names = [*(output.place for output in order.outputs), REPORT]
    with staging_folder(order.out) as staging, keeping(cache):
        key = inputs.key()
        before = unchanged(cache, key, order.out, names)
        if before is not None:
            return tuple(before)
        order.tell("reading and checking the data")
        files = read_files(order.bench)
        try:
            checked = check_bench(files, order.as_of)
        except FaultyBenchError as error:
            _write_report(staging, order, error.findings, written=())
            swap_in(staging, order.out, [REPORT])
            raise
        with speaking(checked.language):
            findings, notices = _write_outputs(order, files, checked, staging)
        _write_report(staging, order, findings, written=order.outputs, notices=notices)
        swap_in(staging, order.out, names)
        if inputs.key() == key:  # else somebody saved a file meanwhile
            remember(cache, key, order.out, names, findings)
    return findings


def _inputs(order: Order) -> Inputs:
    dates = [day.isoformat() for day in (order.as_of, *order.since)]
    asked = (*dates, *order.outputs, order.bench.trusts_templates)
    return Inputs(order.bench, repr(asked), order.out / KITS)


@contextmanager
def open_whole(bench: Bench, as_of: date) -> Iterator[Store]:
    """A store in memory with everything that is published, and the language of its texts.

    Raises
    ------
    FaultyBenchError
        If the data have faults.
    """
    files = read_files(bench)
    checked = check_bench(files, as_of)
    store = build_store(checked, as_of)
    try:
        measure_runs(store)
        work_out(store)
        with speaking(checked.language):
            _write_analyses(files, store, ())
            yield store
    finally:
        store.connection.close()


def make_kits(order: KitsOrder) -> tuple[WrittenKit, ...]:
    """Make kits, as of one date, each swapped in when all of them are complete.

    Returns
    -------
    tuple of WrittenKit
        What was written, what could not be shown, and warnings.

    Raises
    ------
    FaultyBenchError
        If the data have faults; the kits stay as they are.
    NothingAskedError, NoSuchSubjectError, UnderEmbargoError
        If there is nothing to make a kit of.
    OutputFolderError
        If the folder of kits cannot be written.
    """
    folder = order.out / KITS
    requests = order.requests or tuple(one.request for _, one in existing_kits(folder))
    order.tell("reading and checking the data")
    checked = read_bench(order.bench, order.as_of)
    store = build_store(checked, order.as_of)
    with (
        closing(store.connection),
        speaking(checked.language),
        staging_folder(folder) as staging,
        keeping(order.cache),
    ):
        order.tell("working out the standings")
        measure_runs(store)
        work_out(store)
        work_out_analyses(store, [])
        view, embargoes = View(store), embargoes_of(checked, order.as_of)
        written = []
        for request in requests:
            kit = KitOrder(
                request, order.bench, order.today, embargoes, order.out / "site", order.tell
            )
            name = request.name
            written.append(write_kit(view, kit, staging / name, folder / name))
        report = {
            "as_of": order.as_of.isoformat(),
            "kits": {one.name: list(one.warnings) for one in written},
        }
        _write_json(staging / REPORT, report)
        swap_in(staging, folder, [*(one.name for one in written), REPORT])
    return tuple(written)


@dataclass(frozen=True)
class Notices:
    """What a build tells beside the findings: days and kits out of line, films to be corrected."""

    watched: Sequence[str]
    older_kits: Sequence[str]
    to_pin: Sequence[str]


def _write_outputs(
    order: Order, files: ReadFiles, checked: CheckedBench, staging: Path
) -> tuple[tuple[Finding, ...], Notices]:
    """Write the outputs; warnings and what else is to be told go into the report."""
    order.tell("loading the store")
    store = build_store(checked, order.as_of, staging / Output.STORE.place)
    try:
        order.tell("measuring")
        measure_runs(store)
        order.tell("working out the standings")
        work_out(store)
        order.tell("comparing with earlier days")
        _write_analyses(files, store, order.since)
        if set(order.outputs) & {Output.DATASET, Output.SITE}:
            _write_dataset_and_site(order, store, staging)
        notices = Notices(read_out_of_line(store), _older_kits(order, store), _to_pin(store))
        return store.findings, notices
    finally:
        store.connection.close()


def _older_kits(order: Order, store: Store) -> list[str]:
    """The kits that were made from other rows than are visible now."""
    kits = list(existing_kits(order.out / KITS))
    now = rows_digest(store) if kits else ""
    return [name for name, manifest in kits if manifest.rows != now]


def _to_pin(store: Store) -> list[str]:
    """A sentence for each film that shows a figure which was corrected after it was published."""
    return [f"{pin.film.whole}: {pin.sentence}" for pin in pins_of(View(store))]


def _write_analyses(files: ReadFiles, store: Store, asked: Sequence[date]) -> None:
    earlier = [
        Earlier(since, days, state_as_it_stood(files, since))
        for days, since in _movement_dates(store, asked)
    ]
    work_out_analyses(store, earlier)
    write_terms(store)


def _movement_dates(store: Store, asked: Sequence[date]) -> list[tuple[int, date]]:
    """Dates that movements are told since, latest first, and how many bench days ago each is."""
    seen = store.rows(
        "select distinct day_date from runs where status = 'valid' order by day_date desc"
    )
    days = [day for (day,) in seen]
    latest = [days[count - 1] - timedelta(days=1) for count in MOVEMENT_DAYS if count <= len(days)]
    dates = sorted({*latest, *asked}, reverse=True)
    return [(sum(day > since for day in days), since) for since in dates]


def _write_dataset_and_site(order: Order, store: Store, staging: Path) -> None:
    """Write both; of the site's pages only those that list the dataset have to wait for it."""
    dataset = staging / Output.DATASET.place

    def written() -> DatasetListing:
        order.tell("writing the dataset")
        listing = write_dataset(store, dataset)
        write_subsets(store, dataset)
        shelve_editions(read_editions(order.bench, order.as_of), dataset)
        return listing

    if Output.SITE not in order.outputs:
        written()
        return
    order.tell("drawing the charts")
    view = View(store)
    charts = draw_charts(view)
    order.tell("writing the site")
    folder = staging / Output.SITE.place
    write_site(view, charts, written, folder, order.bench, order.products, order.in_view)
    shutil.copytree(dataset, folder / Output.DATASET.place)


def _write_report(
    staging: Path,
    order: Order,
    findings: Sequence[Finding],
    *,
    written: Sequence[Output],
    notices: Notices | None = None,
) -> None:
    notices = notices or Notices((), (), ())
    report = {
        "as_of": order.as_of.isoformat(),
        "written": [output.value for output in written],
        "findings": [finding.as_json() for finding in findings],
        "bench_watch": list(notices.watched),
        "older_kits": list(notices.older_kits),
        "films_to_correct": list(notices.to_pin),
    }
    _write_json(staging / REPORT, report)


def _write_json(file: Path, content: Mapping[str, object]) -> None:
    file.write_text(json.dumps(content, ensure_ascii=False, indent=2) + "\n", encoding="utf-8")
