"""Changed copies of modules: each with one operator, comparison or number replaced.

In:  (arguments) how many, a seed, and modules; run by an environment that has cosmic-ray.
Out: one line of JSON a mutant: the module, its line, what was done, and the whole changed source.

Left out are changes that cannot change a result: of annotations (``|``), between ``==`` and ``is``,
of decorators that only remember, and whatever only renames.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Iterator
from pathlib import Path

from cosmic_ray.ast import get_ast_from_path
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

POINTLESS = ("BitOr", "BitAnd", "BitXor", "Shift", "_Is", "Is_", "Variable", "Decorator")


def places(module: Path) -> Iterator[tuple[int, str, int]]:
    """Where an operator can change a module: its line, the operator, which occurrence."""
    tree = get_ast_from_path(module)
    nodes = list(_walk(tree))
    for name in sorted(operator_names()):
        if any(part in name for part in POINTLESS):
            continue
        operator, occurrence = get_operator(name)(), 0
        for node in nodes:
            for (line, _), _end in operator.mutation_positions(node):
                yield line, name, occurrence
                occurrence += 1


def _walk(node: object) -> Iterator[object]:
    yield node
    for child in getattr(node, "children", ()):
        yield from _walk(child)


def main() -> None:
    """Print a sample in which every place of every module is as likely, whatever fits there."""
    how_many, seed, *modules = sys.argv[1:]
    chance = random.Random(int(seed))  # noqa: S311  no secret
    by_place: dict[tuple[str, int], list[tuple[str, int]]] = {}
    for module in modules:
        for line, name, occurrence in places(Path(module)):
            by_place.setdefault((module, line), []).append((name, occurrence))
    wanted = chance.sample(sorted(by_place), min(int(how_many), len(by_place)))
    for module, line in wanted:
        name, occurrence = chance.choice(by_place[module, line])
        source = Path(module).read_text(encoding="utf-8")
        changed = mutate_code(source, get_operator(name)(), occurrence)
        mutant = {"module": module, "line": line, "operator": name, "source": changed}
        sys.stdout.write(json.dumps(mutant) + "\n")


if __name__ == "__main__":
    main()
