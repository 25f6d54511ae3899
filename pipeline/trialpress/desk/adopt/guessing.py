"""What a sheet most likely means, before anybody has said anything of it.

In:  a sheet nobody knows, the catalogue of the bench.
Out: a mapping with its header, columns and layout as guessed, and why each was guessed so.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from trialpress.desk.adopt.catalogue import Catalogue
from trialpress.desk.adopt.cells import is_total
from trialpress.desk.adopt.dates import DateOrder, moment
from trialpress.desk.adopt.headers import known_headers, plain_header, unit_in
from trialpress.desk.adopt.layout import joined_header
from trialpress.desk.adopt.mapping import JOIN, UNDECIDED, Mapping, Wide, match_header
from trialpress.desk.adopt.obstacles import CellError
from trialpress.desk.adopt.spreadsheet import RawRow, Worksheet
from trialpress.intake.nearest import nearest

SURE = 0.82
"""How like a known word another one is to be guessed, of 1; a guess is shown as one."""
LOOK_FOR_DATA, SAMPLE = 60, 40
MASSES = frozenset({"dose_g", "before_g", "after_g", "gain_g", "blank_g"})
FEW, SEVERAL, MOST_PAIRED = 2, 0.5, 12
_RUN = re.compile(
    r"(?:(.*) )?(?:run|test|trial|try|attempt|repeat|rep|lauf|versuch|messung|essai|no|nr)"
    r" ?[0-9]{1,2}(?: (.*))?"
)
_FIGURE = re.compile(r"([0-9]{1,6}(?:[.,][0-9]{1,6})?)(?: ?g)?")
NEAR_DOSE, NEARLY_ALL = 0.05, 0.9
_GRADE = re.compile(r"[0-4]")


@dataclass(frozen=True)
class GuessedLayout:
    """A mapping of header, columns and layout; ``reasons`` say why, by section and key."""

    mapping: Mapping
    header: tuple[str, ...]
    reasons: dict[tuple[str, str], str]


def is_like_date(text: str) -> bool:
    """Whether a text is a date, in whichever order."""
    try:
        return bool(moment(text, "", order=DateOrder.DAY_FIRST))
    except CellError:
        return False


def is_alike(text: str, known: str) -> bool:
    """Whether two words differ by no more than a slip."""
    from difflib import SequenceMatcher  # noqa: PLC0415  only guesses need it

    return SequenceMatcher(None, text.casefold(), known.casefold()).ratio() >= SURE


def sure_name(text: str, known: dict[str, str] | frozenset[str]) -> str | None:
    """The known name that a word is, or that it is by a slip."""
    if text.casefold() in known:
        return text.casefold()
    near = nearest(text.casefold(), frozenset(known))
    return near if near is not None and is_alike(text, near) else None


def guess_layout(sheet: Worksheet, catalogue: Catalogue) -> GuessedLayout | None:
    """Guess where the header is and what stands below it; None where no row has a date."""
    data = next((i for i, row in enumerate(sheet.rows[:LOOK_FOR_DATA]) if _has_date(row)), None)
    first, last = _header_rows(sheet, data)
    if first is None:
        return None
    header = joined_header(sheet.rows[first : last + 1])
    rows = [row for row in sheet.rows[last + 1 :] if not row.is_blank and not is_total(row.cells)]
    guesser = _Guesser(header, rows, catalogue)
    mapping = Mapping(header_row=first + 1, header_rows=last + 1 - first)
    for guess in (guesser.columns, guesser.wide, guesser.joined, guesser.fixed, guesser.fill_down):
        mapping = guess(mapping)
    return GuessedLayout(mapping, header, guesser.reasons)


def _has_date(row: RawRow) -> bool:
    return any(is_like_date(text) for text in row.cells)


def _header_rows(sheet: Worksheet, data: int | None) -> tuple[int | None, int]:
    """The first and last row of the header: the rows of words right above the first date."""
    if not data:
        return None, 0
    last = next((i for i in range(data - 1, -1, -1) if _is_wordy(sheet.rows[i])), None)
    if last is None:
        return None, 0
    has_two = last > 0 and _is_wordy(sheet.rows[last - 1])
    return (last - 1 if has_two else last), last


def _is_wordy(row: RawRow) -> bool:
    return len({text for text in row.cells if text}) > FEW


class _Guesser:
    """Guesses one part of the mapping after the other, and notes why."""

    def __init__(
        self, header: tuple[str, ...], rows: Sequence[RawRow], catalogue: Catalogue
    ) -> None:
        width = len(header)
        self.header, self.catalogue = header, catalogue
        self.rows = [replace(row, cells=(*row.cells, *[""] * width)[:width]) for row in rows]
        self.reasons: dict[tuple[str, str], str] = {}

    def cells(self, index: int) -> list[str]:
        """The first different things that a column says: enough to tell what it is."""
        found = dict.fromkeys(row.cells[index] for row in self.rows if row.cells[index])
        return list(found)[:SAMPLE]

    def free(self, mapping: Mapping) -> list[int]:
        """Columns that have a header and mean nothing yet."""
        columns = match_header(self.header, mapping)
        used = {index for column in columns for index in column.indexes}
        named = (i for i, text in enumerate(self.header) if text not in {"", UNDECIDED})
        return [i for i in named if i not in used]

    def columns(self, mapping: Mapping) -> Mapping:
        """By name; then by a name with a slip in it; then by what stands below."""
        found = {
            _named_by(column.name, column.unit): column.header
            for column in match_header(self.header, mapping)
        }
        for name in found:
            self.reasons["columns", name] = "by its name"
        for index in self.free(mapping):
            near = sure_name(plain_header(self.header[index]), frozenset(known_headers()))
            name = _named_by(known_headers()[near], unit_in(self.header[index])) if near else ""
            if name and name not in found:
                found[name] = self.header[index]
                self.reasons["columns", name] = f"guessed: {near} is a name it goes by"
        for name, is_one in self._looks().items():
            free = [i for i in self.free(mapping) if self.header[i] not in found.values()]
            share, index = max(((self._share(i, is_one), i) for i in free), default=(0.0, 0))
            if name not in found and share > (NEARLY_ALL if name == "dose_g" else SEVERAL):
                found[name] = self.header[index]
                self.reasons["columns", name] = "guessed by what stands in its cells"
        return replace(mapping, columns=found)

    def _looks(self) -> dict[str, Callable[[str], bool]]:
        setups, protocols = dict(self.catalogue.setups), dict(self.catalogue.protocols)
        return {
            "at": is_like_date,
            "setup": lambda text: sure_name(text, setups) is not None,
            "protocol": lambda text: sure_name(text, protocols) is not None,
            "dose_g": self._is_dose,
        }

    def _is_dose(self, text: str) -> bool:
        """Whether a figure is what a method says; what was gained is seldom that near."""
        match = _FIGURE.fullmatch(text)
        if match is None:
            return False
        figure = float(match[1].replace(",", "."))
        doses = {float(v.dose_g) for v in self.catalogue.versions if v.dose_g}
        return any(abs(figure - dose) <= NEAR_DOSE * dose for dose in doses)

    def _share(self, index: int, is_one: Callable[[str], bool]) -> float:
        cells = self.cells(index)
        return sum(map(is_one, cells)) / len(cells) if cells else 0.0

    def wide(self, mapping: Mapping) -> Mapping:
        """The columns that are one protocol, run, zone or set-up each, if several are."""
        columns = [i for i in range(len(self.header)) if self.header[i]]
        best = max(
            (Wide(becomes, dict(words(columns, mapping))) for becomes, words in self._words()),
            key=lambda wide: len(wide.columns),
        )
        if len(best.columns) < FEW:
            return mapping
        for word in best.columns:
            self.reasons["wide.columns", word] = (
                "guessed: a column for each run, which are numbered in their order"
                if best.becomes == "replicate"
                else f"guessed: a column, or several, for each {best.becomes}"
            )
        kept = {
            name: header
            for name, header in mapping.columns.items()
            if name != best.becomes and not any(_begins(header, word) for word in best.columns)
        }
        return replace(mapping, columns=kept, wide=best)

    def _words(self) -> list[tuple[str, Callable[..., Iterator[tuple[str, str]]]]]:
        return [
            ("protocol", self._protocols),
            ("replicate", self._replicates),
            ("setup", self._setups),
            ("zone", self._zones),
        ]

    def _protocols(self, columns: Sequence[int], mapping: Mapping) -> Iterator[tuple[str, str]]:
        del mapping
        for i in columns:
            yield from self._named(self.header[i], dict(self.catalogue.protocols))

    def _setups(self, columns: Sequence[int], mapping: Mapping) -> Iterator[tuple[str, str]]:
        del mapping
        for i in columns:
            yield from self._named(self.header[i], dict(self.catalogue.setups))

    def _named(self, header: str, known: dict[str, str]) -> Iterator[tuple[str, str]]:
        """The word of a header that is a known name, if what is left of it is a known header."""
        words = plain_header(header).split()
        splits = [(" ".join(words[:n]), " ".join(words[n:])) for n in range(len(words), 0, -1)]
        exact = [(word, rest, known[word]) for word, rest in splits if word in known]
        near = [
            (word, rest, known[name])
            for word, rest in splits
            if (name := sure_name(word, known)) is not None
        ]
        for word, rest, name in (exact or near)[:1]:
            is_whole = bool(rest) and rest not in known_headers()
            yield (" ".join(words) if is_whole else word), name

    def _replicates(self, columns: Sequence[int], mapping: Mapping) -> Iterator[tuple[str, str]]:
        del mapping
        for i in columns:
            plain = plain_header(self.header[i])
            match = _RUN.fullmatch(plain)
            if match is not None:
                rest = match[1] or match[2] or ""
                word = plain.removeprefix(rest).removesuffix(rest).strip() if rest else plain
                yield (word if not rest or rest in known_headers() else plain), ""

    def _zones(self, columns: Sequence[int], mapping: Mapping) -> Iterator[tuple[str, str]]:
        graded = [v for v in self.catalogue.versions if v.reading == "graded"]
        free = [i for i in columns if i in self.free(mapping)]
        grades = [i for i in free if self._share(i, lambda t: bool(_GRADE.fullmatch(t))) == 1.0]
        if len(grades) in {version.zones for version in graded}:
            for i in grades:
                yield self.header[i], plain_header(self.header[i]).replace(" ", "-")

    def joined(self, mapping: Mapping) -> Mapping:
        """The set-up out of two columns, where two say more of it than one."""
        setups = self.catalogue.setups
        own = next(
            (i for i, h in enumerate(self.header) if h == mapping.columns.get("setup")), None
        )
        free = [i for i in self.free(mapping) if self._share(i, str.isdigit) < SEVERAL][
            :MOST_PAIRED
        ]
        pairs = [(i, j) for i in free for j in free if i != j]
        pairs += [pair for i in free if own is not None for pair in ((own, i), (i, own))]

        def known(pair: tuple[int, ...]) -> int:
            texts = (" ".join(row.cells[i] for i in pair) for row in self.rows)
            return sum(text.casefold() in setups for text in texts if text)

        best = max(pairs, key=known, default=())
        if not best or known(best) <= (known((own,)) if own is not None else 0):
            return mapping
        parts = tuple(self.header[i] for i in best)
        self.reasons["columns", "setup"] = "guessed: together they are names of the catalogue"
        return replace(
            mapping,
            columns={**mapping.columns, "setup": JOIN.join(parts)},
            joined={JOIN.join(parts): parts},
        )

    def fixed(self, mapping: Mapping) -> Mapping:
        """The protocol where only one can be meant: by the zones of a wide table."""
        is_wide = mapping.wide is not None and mapping.wide.becomes == "zone"
        fitting = {
            version.protocol
            for version in self.catalogue.versions
            if mapping.wide is not None
            and version.reading == "graded"
            and version.zones == len(mapping.wide.columns)
        }
        if not is_wide or "protocol" in mapping.columns or len(fitting) != 1:
            return mapping
        self.reasons["fixed", "protocol"] = "guessed: the only one with as many zones"
        return replace(mapping, fixed={"protocol": fitting.pop()})

    def fill_down(self, mapping: Mapping) -> Mapping:
        """Columns whose blank cells mean the one above: dates, set-ups and protocols do."""
        names = []
        for column in match_header(self.header, mapping):
            texts = [column.text(row) for row in self.rows]
            if column.name in {"at", "setup", "protocol"} and texts and texts[0] and "" in texts:
                names.append(column.name)
                blank = texts.count("")
                self.reasons["", "fill_down"] = (
                    f"guessed: blank cells mean the one above, in {blank} rows of {column.header}"
                )
        return replace(mapping, fill_down=tuple(names))


def _named_by(name: str, unit: str | None) -> str:
    """Our column; a share is no mass, whatever its column is called."""
    return "value" if name in MASSES and unit == "%" else name


def _begins(header: str, word: str) -> bool:
    plain, known = plain_header(header), plain_header(word)
    return plain == known or plain.startswith(f"{known} ") or plain.endswith(f" {known}")
