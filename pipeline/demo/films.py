"""Films about results of the bench, and what they show from which second on.

One was made before a figure in it was corrected, one shows a set-up that is under embargo for good,
one is not published yet.

In:  nothing.
Out: rows of ``films.csv`` and ``film_marks.csv``.

Short: little is filmed.
"""

from __future__ import annotations

from demo.rows import Film, FilmMark
from demo.text_table import read_cells

_FILMS = """
film          | title                                        | published_on
hair-on-a-mat | Long hair on a door mat: which roller clogs? | 2025-04-02
two-rollers   | One stick, two rollers: the Aluen 6          | 2025-06-25
moss-rug      | A new rug, and everything once more          | 2026-05-30
undrey-1      | A first look at the Undrey 1                 | 2099-01-01
"""

_MARKS = """
film          | at      | label                               | run                  | setup           | protocol
hair-on-a-mat | 0:00:00 | What is new about the mat           |                      |                 |
hair-on-a-mat | 0:01:12 | How hair is laid and counted        |                      |                 | hair
hair-on-a-mat | 0:03:40 | The Vasp 50, third run              | 2025-03-29-hair-16   |                 |
hair-on-a-mat | 0:05:05 | Against the upright                 |                      | torvek-80-stock |
hair-on-a-mat | 0:07:30 | What cannot be told yet             |                      |                 |
two-rollers   | 0:00:00 | One machine, two rollers            |                      |                 |
two-rollers   | 0:00:48 | The bristle bar                     |                      | aluen-6-bristle |
two-rollers   | 0:02:20 | The soft roller                     |                      | aluen-6-roller  |
two-rollers   | 0:03:55 | How dust gets into the rug          |                      |                 | deep-rug
two-rollers   | 0:06:10 | How long a charge lasts             | 2025-06-21-runtime-48 |                |
moss-rug      | 0:00:00 | Why the rug had to go               |                      |                 |
moss-rug      | 0:01:35 | Seven passes on the new one         |                      |                 | deep-rug
moss-rug      | 0:04:20 | The upright                         |                      | torvek-80-stock |
moss-rug      | 0:06:02 | The stick with its bristle bar      |                      | aluen-6-bristle |
moss-rug      | 0:08:15 | One that waits for its day          |                      | undrey-1-stock  |
moss-rug      | 0:09:40 | How sure the places are             |                      |                 |
undrey-1      | 0:00:00 | Out of the box                      |                      | undrey-1-stock  |
"""  # noqa: E501, a table


def films() -> list[Film]:
    """All films; their addresses are under a name that leads nowhere."""
    return [
        Film(row["film"], row["title"], f"https://films.example/{row['film']}", row["published_on"])
        for row in read_cells(_FILMS)
    ]


def film_marks() -> list[FilmMark]:
    """All marks, film after film, each in the order of its film."""
    return [FilmMark(**row) for row in read_cells(_MARKS)]
