"""Grading without names: nothing tells whose photo it is; a run is written whole or not at all."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from desk.previews import Asking, still_preview
from flow.benches import copy_of_small_bench
from trialpress.bench import Bench
from trialpress.desk.measured import BenchState, read_state
from trialpress.desk.preview.server import PreviewServer

DAY = "2031-03-16-hall"
ROWS = "run,zone,grader,at,setup,protocol,version,replicate,grade,status,reason\n" + "".join(
    f"{run},{zone},grader-1,{DAY[:10]}T19:00,{setup},stains,1,,,planned,\n"
    for run, setup in (("secret-1", "one-stock"), ("secret-2", "two-stock"))
    for zone in ("left", "right")
)
PHOTOS = "photo,run,zone,file,caption,alt\n" + "".join(
    f"p-{run}-{zone},{run},{zone},photos/{run}-{zone}.jpg,After,A stain\n"
    for run in ("secret-1", "secret-2")
    for zone in ("left", "right")
)


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return bench_to_grade(tmp_path / "bench")


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> BenchState:
    """The bench before anything is graded, read once for all tests here."""
    return read_state(bench_to_grade(tmp_path_factory.mktemp("graded") / "bench"))


def bench_to_grade(folder: Path) -> Bench:
    """A bench with two runs to grade, each zone with a photo of its own grey."""
    bench = Bench(copy_of_small_bench(folder))
    day = bench.days / DAY
    (day / "photos").mkdir(parents=True)
    (day / "gradings.csv").write_text(ROWS, encoding="utf-8")
    (day / "photos.csv").write_text(PHOTOS, encoding="utf-8")
    for shade, row in enumerate(csv.DictReader(io.StringIO(PHOTOS))):
        made = Image.new("RGB", (8, 8), (shade * 60,) * 3)
        made.save(day / row["file"], exif=_exif("secret-1, one-stock"))
    return bench


def _exif(words: str) -> Image.Exif:
    exif = Image.Exif()
    exif[0x010E] = words  # what the picture shows
    return exif


@pytest.fixture
def served(bench: Bench, state: BenchState) -> Iterator[PreviewServer]:
    with still_preview(bench, state) as preview:
        yield preview


@pytest.fixture
def ask(served: PreviewServer) -> Asking:
    return Asking(served)


def cookie(served: PreviewServer) -> str:
    return served.origin_check.begun.partition(";")[0]


def begin(ask: Asking, grader: str = "ann") -> dict[str, object]:
    sent = {"protocol": "stains", "version": "1", "grader": grader}
    return dict(json.loads(ask("/grading/begin", sent)[1]))


def shade_of(photo: bytes) -> int:
    """Which of the four photos it is, by its grey."""
    with Image.open(io.BytesIO(photo)) as opened:
        assert not opened.getexif()
        grey = opened.getpixel((4, 4))
    assert isinstance(grey, tuple)
    return round(grey[0] / 60)


def test_photos_come_shuffled_with_nothing_that_tells_whose_they_are(
    served: PreviewServer, ask: Asking
) -> None:
    begun = begin(ask)

    assert begun["photos"] == 4
    assert "secret" not in json.dumps(begun)
    seen = []
    for number in range(4):
        path = f"/grading/photo?sitting={begun['sitting']}&number={number}"
        status, body, headers = ask(path, Cookie=cookie(served))
        assert (status, headers["Content-Type"]) == (200, "image/jpeg")
        assert b"secret" not in body
        seen.append(shade_of(body))
    assert sorted(seen) == [0, 1, 2, 3]
    assert (
        ask(f"/grading/photo?sitting={begun['sitting']}&number=4", Cookie=cookie(served))[0] == 404
    )
    assert ask(f"/grading/photo?sitting={begun['sitting']}&number=0")[0] == 403


def test_runs_graded_whole_are_written_once_and_agreement_is_told(
    bench: Bench, served: PreviewServer, ask: Asking
) -> None:
    for grader, steps in (("ann", (0, 1, 2, 3)), ("ben", (0, 1, 2, 4))):
        sitting = begin(ask, grader)["sitting"]
        for number in range(4):
            path = f"/grading/photo?sitting={sitting}&number={number}"
            shade = shade_of(ask(path, Cookie=cookie(served))[1])
            sent = {"sitting": sitting, "number": number, "grade": steps[shade]}
            assert ask("/grading/grade", sent)[0] == 200
        end = json.loads(ask("/grading/finish", {"sitting": sitting})[1])
        again = json.loads(ask("/grading/finish", {"sitting": sitting})[1])

    assert end["refused"] == []
    assert [run["grades"] for run in end["kept"]] == ["left 0, right 1", "left 2, right 4"]
    assert (end["refused"], end["left"]) == ([], 0)
    assert again["kept"] == end["kept"]
    (told,) = end["agreement"]
    # By hand: 7/8 observed, 2/3 expected; two of the zones were graded before, one was corrected.
    assert told.startswith("With ann: weighted kappa 0.62 over 6")
    with (bench.days / DAY / "gradings.csv").open(encoding="utf-8", newline="") as opened:
        rows = [row for row in csv.DictReader(opened) if row["status"] == "valid"]
    assert [(row["run"], row["zone"], row["grader"], row["grade"]) for row in rows] == [
        (run, zone, grader, str(grade))
        for grader, steps in (("ann", (0, 1, 2, 3)), ("ben", (0, 1, 2, 4)))
        for (run, zone), grade in zip(
            [(run, zone) for run in ("secret-1", "secret-2") for zone in ("left", "right")],
            steps,
            strict=True,
        )
    ]


def test_a_run_graded_in_part_is_not_written(bench: Bench, ask: Asking) -> None:
    before = (bench.days / DAY / "gradings.csv").read_bytes()
    sitting = begin(ask)["sitting"]
    ask("/grading/grade", {"sitting": sitting, "number": 0, "grade": 2})

    end = json.loads(ask("/grading/finish", {"sitting": sitting})[1])

    assert (end["kept"], end["left"]) == ([], 2)
    assert (bench.days / DAY / "gradings.csv").read_bytes() == before


@pytest.mark.parametrize(
    ("name", "sent"),
    [
        ("begin", {"protocol": "stains", "version": "1", "grader": "Ann B"}),
        ("begin", {"protocol": "pickup", "version": "2", "grader": "ann"}),
        ("begin", ["stains"]),
        ("grade", {"sitting": "none", "number": 0, "grade": 1}),
        ("finish", {"sitting": 7}),
    ],
)
def test_what_is_no_grading_is_refused_in_words(name: str, sent: object, ask: Asking) -> None:
    status, body, _ = ask(f"/grading/{name}", sent)

    assert status == 400
    assert json.loads(body)["problem"].endswith(".")


@pytest.mark.parametrize(("number", "grade"), [(9, 1), (-1, 1), (0, 5), (0, True), ("0", 1)])
def test_a_grade_is_one_of_five_on_a_photo_that_was_shown(
    number: object, grade: object, ask: Asking
) -> None:
    sent = {"sitting": begin(ask)["sitting"], "number": number, "grade": grade}

    assert ask("/grading/grade", sent)[0] == 400


def test_a_photo_that_leads_out_of_its_day_is_not_shown(bench: Bench, ask: Asking) -> None:
    secret = bench.root / "secret.jpg"
    Image.new("RGB", (4, 4)).save(secret)
    photo = bench.days / DAY / "photos/secret-1-left.jpg"
    photo.unlink()
    photo.symlink_to(secret)

    assert begin(ask)["photos"] == 2


def test_a_photo_that_leads_out_of_its_day_since_is_not_shown_either(
    bench: Bench, served: PreviewServer, ask: Asking
) -> None:
    sitting = begin(ask)["sitting"]
    Image.new("RGB", (4, 4)).save(bench.root / "secret.jpg")
    for photo in (bench.days / DAY / "photos").iterdir():
        photo.unlink()
        photo.symlink_to(bench.root / "secret.jpg")

    for number in range(4):
        path = f"/grading/photo?sitting={sitting}&number={number}"
        assert ask(path, Cookie=cookie(served))[0] == 404


def test_a_page_of_grading_hears_nothing_that_names_runs(
    served: PreviewServer, ask: Asking
) -> None:
    """The bar at the foot of other pages tells findings by file and cells by set-up."""
    shown = ask("/grading", Cookie=cookie(served))[1]

    assert b"/sheet/grading.js" in shown
    assert b"live.js" not in shown
