"""Which animals of a classification by share, keeper, year and so on can be compared with each other at all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Part:
    """Cells of a classification that can be compared with each other.

    Parameters
    ----------
    cells : tuple of tuple of str
        Filled combinations of levels, in order.
    n_animals : int
        Animals in them.
    """

    cells: tuple[tuple[str, ...], ...]
    n_animals: int


def connected_parts(*columns: Sequence[str]) -> tuple[Part, ...]:
    """Parts of a classification within which all comparisons can be made, the fullest first.

    Two filled cells are joined where they differ in one factor only; parts are what hangs together by such steps. Of
    two factors these are the parts of the graph of levels that meet in an animal. Within a part every level of each
    factor can be compared with every other; of three factors or more this is enough, but not always needed.

    Parameters
    ----------
    columns : sequences of str, each of length n_animals
        Level of each animal by each factor, such as class of share (`share_class`), keeper and year.

    References
    ----------
    Weeks & Williams (1964), A note on the determination of connectedness in an N-way cross classification,
    Technometrics 6:319-324 (from memory; checked against SciPy's components of graphs for two factors).

    Examples
    --------
    >>> [one.n_animals for one in connected_parts(["none", "half", "all"], ["Ann", "Ann", "Bo"])]
    [2, 1]
    """
    counts = Counter(zip(*columns, strict=True))
    cells = sorted(counts)
    root = {cell: cell for cell in cells}

    def top(cell: tuple[str, ...]) -> tuple[str, ...]:
        while root[cell] != cell:
            root[cell] = root[root[cell]]
            cell = root[cell]
        return cell

    seen: dict[tuple[int, tuple[str, ...]], tuple[str, ...]] = {}
    for cell in cells:
        for number in range(len(cell)):
            near = seen.setdefault((number, (*cell[:number], *cell[number + 1 :])), cell)
            root[top(cell)] = top(near)
    parts: dict[tuple[str, ...], list[tuple[str, ...]]] = {}
    for cell in cells:
        parts.setdefault(top(cell), []).append(cell)
    found = [Part(tuple(one), sum(counts[cell] for cell in one)) for one in parts.values()]
    return tuple(sorted(found, key=lambda one: (-one.n_animals, one.cells)))


def share_class(share: float) -> str:
    """Share of a line to the nearest eighth, in [0, 1], as text.

    Examples
    --------
    >>> share_class(0.26), share_class(1.0)
    ('1/4', '1')
    """
    return str(Fraction(round(8 * share), 8))
