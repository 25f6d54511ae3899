"""Stills into picture files; what is there already and would be the same is not drawn again.

In:  stills, and the kit of the same name that was written before.
Out: the bytes of every picture, by its place in the kit, and what each was drawn from.

Every still comes on light and on dark paper, and on nothing; a standing also four times as large,
and line by line as a numbered sequence. What a picture is drawn from is kept as a digest beside its
own: where both still hold, the file is copied. Files that differ in their colours alone are drawn
as one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache, cached_property
from hashlib import sha256
from pathlib import Path

from trialpress import __version__
from trialpress.charts import Palette, read_theme
from trialpress.kit.png import Canvas
from trialpress.kit.scene import Scene
from trialpress.kit.stills.still import Still
from trialpress.kit.svg import draw_svg
from trialpress.paths import write_below

STILLS, REVEALS = "stills", "reveal"
DRAWERS = 2
"""How many pictures are drawn at a time: what squeezes them lets others run."""


@dataclass(frozen=True)
class Drawn:
    """A picture file: what it was drawn from, and a digest of its bytes."""

    drawn_from: str
    digest: str


@dataclass(frozen=True)
class DrawingTask:
    """One scene in one palette, on paper or on nothing, or as SVG; ``place`` is in the kit."""

    place: str
    scene: Scene
    theme: str
    times: int = 1
    is_opaque: bool = True
    title: str = ""
    description: str = ""

    def drawn_from(self, scene: str) -> str:
        """A digest of everything that decides how the picture looks; ``scene`` is its scene's."""
        palette = tuple(_palette(self.theme).roles())
        looks = (scene, palette, self.times, self.is_opaque, self.title, self.description)
        return sha256(f"{__version__} {looks!r}".encode()).hexdigest()


class Drawer:
    """Draws one scene in one size for all its files, once."""

    def __init__(self, scene: Scene, times: int) -> None:
        """Draw nothing yet."""
        self.scene, self._times = scene, times
        self.digest = sha256(repr(scene).encode()).hexdigest()

    @cached_property
    def _canvas(self) -> Canvas:
        return Canvas(self.scene, self._times)

    def file(self, task: DrawingTask) -> bytes:
        """The bytes of one file."""
        palette = _palette(task.theme)
        if task.place.endswith(".svg"):
            return draw_svg(self.scene, palette, task.title, task.description).encode()
        return self._canvas.png(palette, is_opaque=task.is_opaque)


@cache
def _palette(theme: str) -> Palette:
    themes = read_theme()
    return themes.dark if theme == "dark" else themes.light


def tasks_of(stills: Iterable[Still]) -> Iterator[DrawingTask]:
    """Every picture of the stills."""
    for still in stills:
        for theme in ("light", "dark"):
            yield from _tasks_of(still, theme)
            for number, scene in enumerate(still.steps):
                place = f"{REVEALS}/{still.name}-{theme}/{still.name}-{theme}-{number:04}.png"
                yield DrawingTask(place, scene, theme)


def _tasks_of(still: Still, theme: str) -> Iterator[DrawingTask]:
    base = f"{STILLS}/{still.name}-{theme}"
    for is_opaque, ending in ((True, ""), (False, "-transparent")):
        yield DrawingTask(f"{base}{ending}.png", still.wide, theme, is_opaque=is_opaque)
        if still.tall is not None:
            yield DrawingTask(f"{base}-tall{ending}.png", still.tall, theme, is_opaque=is_opaque)
        if still.is_large:
            yield DrawingTask(f"{base}-4k{ending}.png", still.wide, theme, 2, is_opaque=is_opaque)
    yield DrawingTask(f"{base}.svg", still.wide, theme, title=still.title, description=still.alt)


def draw_into(
    folder: Path,
    tasks: Sequence[DrawingTask],
    before: Path,
    known: Mapping[str, Drawn],
    tell: Callable[[str], None],
) -> dict[str, Drawn]:
    """Write every picture.

    Parameters
    ----------
    folder : Path
        The kit that is being written.
    tasks : sequence of DrawingTask
        What to draw.
    before : Path
        The kit of the same name as it is now; it need not be there.
    known : mapping of place to Drawn
        What that kit says its files were drawn from.
    tell : callable
        Called with a few words now and then.

    Returns
    -------
    dict of place to Drawn
        The same of the new kit.
    """
    same: dict[tuple[Scene, int], list[DrawingTask]] = {}
    for task in tasks:
        same.setdefault((task.scene, task.times), []).append(task)

    def make(one: tuple[tuple[Scene, int], list[DrawingTask]]) -> list[tuple[str, Drawn]]:
        drawer = Drawer(*one[0])
        return [(task.place, write(drawer, task)) for task in one[1]]

    def write(drawer: Drawer, task: DrawingTask) -> Drawn:
        source = task.drawn_from(drawer.digest)
        data = _kept(before / task.place, known.get(task.place), source)
        if data is None:
            data = drawer.file(task)
        write_below(folder, task.place, data)
        return Drawn(source, sha256(data).hexdigest())

    drawn: dict[str, Drawn] = {}
    with ThreadPoolExecutor(DRAWERS) as drawers:
        for made in drawers.map(make, same.items()):
            drawn.update(made)
            tell(f"drawing pictures: {len(drawn)} of {len(tasks)}")
    return {task.place: drawn[task.place] for task in tasks}


def _kept(file: Path, known: Drawn | None, source: str) -> bytes | None:
    """The file as it is, where it was drawn from the same and nobody has touched it since."""
    if known is None or known.drawn_from != source:
        return None
    try:
        data = file.read_bytes()
    except OSError:
        return None
    return data if sha256(data).hexdigest() == known.digest else None
