"""Test-breeding an animal that may carry a gene it does not show: what each mate would tell, and how soon.

Notation: a and m are the copies in the animal and in the mate, J(a, m) their joint probability, q(a, m) the chance that
one young proves that the animal carries, k the number of young looked at of which none does. The mate is shared by its
young, so every sum mixes over m: ``P(a >= 1 | k) = sum_{a>=1,m} J (1-q)^k / sum_{a,m} J (1-q)^k``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from holdback.errors import CrossError, Fault
from holdback.heredity.crosses.clutch import EggCount
from holdback.heredity.proving.hatchling_counts import hatchling_counts

Copies = tuple[float, float, float]
"""Probabilities of no, one and two copies."""

JointCopies = tuple[Copies, Copies, Copies]
"""Probabilities of the copies in the animal (row) and in the mate (column)."""

Proof = Callable[[int, int], float]
"""Chance that one young proves the animal, from the copies in the animal and in the mate."""

CLEARED = 0.05
"""Chance of carrying below which an animal counts as cleared, unless asked otherwise; a convention of this tool."""

_SUM_SLACK = 1e-6


def recessive_proof(animal: int, mate: int) -> float:
    """Chance that one young has two copies, and so shows a recessive: ``(a / 2)(m / 2)``.

    Examples
    --------
    >>> recessive_proof(1, 2), recessive_proof(1, 1)
    (0.5, 0.25)
    """
    return animal / 2.0 * mate / 2.0


@dataclass(frozen=True, slots=True)
class Mate:
    """A mate that the animal could be put to.

    Parameters
    ----------
    label : str
        As the keeper calls it.
    copies : tuple of float, shape (3,)
        Probabilities of no, one and two copies; (0, 0, 1) for one that shows a recessive.
    joint : tuple of tuple of float, shape (3, 3), or None
        Probabilities of the copies in the animal (row) and the mate (column) where the two are related; it stands in
        place of `copies` and of the copies given for the animal. None: what is known of one says nothing of the other.
    """

    label: str
    copies: Copies = (1.0, 0.0, 0.0)
    joint: JointCopies | None = None


@dataclass(frozen=True, slots=True)
class MateTest:
    """What one mate would tell of a possible carrier.

    Parameters
    ----------
    label : str
        The mate.
    carries : float
        P(the animal carries) before.
    per_young : float
        Chance that one young proves the animal, given that it carries.
    able : float
        P(this mate can prove the animal at all), given that it carries; below 1 where the mate may have no copy.
    young_until_proven : float or None
        Expected young until one proves it, given that it carries; None where the mate may never prove it.
    young_until_proven_if_able : float or None
        The same, given also that the mate can prove it; None where it cannot.
    proves_in_clutch : float
        Chance that one clutch proves it.
    proves_in_clutch_if_carries : float
        The same, given that it carries.
    cleared_below : float
        Bound on P(carries) asked for.
    young_to_clear : int or None
        Young, none of which proves it, that bring P(carries) below the bound; None where no number does.
    bits : float
        Expected information of one clutch on whether the animal carries, in bits.
    curve : tuple of float, shape (n + 1,)
        P(carries) after k = 0, 1, ..., n young of which none proves it.
    next_young : tuple of float, shape (n + 1,)
        Chance that the next young proves it, after the same k young.
    """

    label: str
    carries: float
    per_young: float
    able: float
    young_until_proven: float | None
    young_until_proven_if_able: float | None
    proves_in_clutch: float
    proves_in_clutch_if_carries: float
    cleared_below: float
    young_to_clear: int | None
    bits: float
    curve: tuple[float, ...]
    next_young: tuple[float, ...]

    @property
    def sentence(self) -> str:
        """What a breeder would say of this mate."""
        if self.able == 0.0:
            return f"{self.label}: young of this pair tell nothing of whether it carries."
        chance = f"{self.label}: a {100.0 * self.proves_in_clutch:.0f} % chance that one clutch proves it"
        if self.young_to_clear is None:
            floor = self._floor
            return (
                f"{chance}; no number of normal young brings it below {100.0 * self.cleared_below:.0f} % (the mate may "
                f"have no copy itself; the chance stays above {100.0 * floor:.0f} %)."
            )
        if self.young_to_clear == 0:
            return f"{chance}; it stands below {100.0 * self.cleared_below:.0f} % as it is."
        return (
            f"{chance}; {self.young_to_clear} normal young and no visual bring the chance that it carries below "
            f"{100.0 * self.cleared_below:.0f} %."
        )

    @property
    def _floor(self) -> float:
        """P(carries) that remains however many young are normal."""
        never = self.carries * (1.0 - self.able)
        return never / (never + 1.0 - self.carries)

    def as_json(self) -> dict[str, Any]:
        """Every number with its name, and the sentence."""
        return {**asdict(self), "curve": list(self.curve), "next_young": list(self.next_young), "says": self.sentence}


@dataclass(frozen=True, slots=True)
class CarrierTests:
    """Mates for a possible carrier, the most telling first.

    Parameters
    ----------
    mates : tuple of MateTest
        By expected information, then by the chance to prove in one clutch.
    eggs_ground : str
        Where the size of the clutch comes from.
    """

    mates: tuple[MateTest, ...]
    eggs_ground: str

    @property
    def basis(self) -> str:
        """What the numbers rest on."""
        return (
            "Mendel's ratios, mixed over the copies given for the animal and for each mate. Only young that hatched, "
            f"or could be told in the egg, count; slugs do not. Clutch: {self.eggs_ground or 'as given'}."
        )

    def as_json(self) -> dict[str, Any]:
        """Mates in order, and what the numbers rest on."""
        return {"mates": [mate.as_json() for mate in self.mates], "basis": self.basis}


def carrier_tests(
    copies: Copies,
    mates: Sequence[Mate],
    *,
    eggs: EggCount,
    proves: Proof = recessive_proof,
    below: float = CLEARED,
    most: int = 20,
) -> CarrierTests:
    """What each mate would tell of a possible carrier, the most telling mate first.

    Parameters
    ----------
    copies : tuple of float, shape (3,)
        Probabilities of no, one and two copies in the animal.
    mates : sequence of Mate
        Candidates.
    eggs : EggCount
        One clutch.
    proves : callable
        Chance that one young proves the animal, from the copies in it and in the mate; 0 for an animal without a copy.
    below : float
        Bound on P(carries) at which the animal counts as cleared, in (0, 1).
    most : int
        Length of the curves: young looked at, none of which proves it.

    Returns
    -------
    CarrierTests
        Probabilities in [0, 1]; information in bits.

    Raises
    ------
    CrossError
        PRV-001 if probabilities do not sum to 1 or lie outside 0 to 1.

    Notes
    -----
    Inbreeding between the animal and a mate is not looked at here.

    Examples
    --------
    >>> found = carrier_tests((1 / 3, 2 / 3, 0.0), [Mate("visual", (0.0, 0.0, 1.0))], eggs=EggCount.hatchlings(6))
    >>> found.mates[0].young_to_clear, round(found.mates[0].curve[3], 6)
    (6, 0.2)
    """
    _check(copies, mates)
    tests = [_mate_test(mate, _joint(copies, mate), eggs=eggs, proves=proves, below=below, most=most) for mate in mates]
    ordered = sorted(tests, key=lambda one: (-round(one.bits, 12), -round(one.proves_in_clutch, 12), one.label))
    return CarrierTests(tuple(ordered), eggs.ground)


@dataclass(frozen=True, slots=True)
class _Cells:
    """Joint states of a pair: weight, whether the animal carries, chance that one young proves it."""

    cells: tuple[tuple[float, bool, float], ...]

    def weight(self, k: int, *, carrying: bool | None = None) -> float:
        """P(k young of which none proves it), with the animal carrying or not where asked."""
        return math.fsum(
            weight * (1.0 - q) ** k for weight, carries, q in self.cells if carrying is None or carries is carrying
        )

    def carries(self, k: int) -> float:
        """P(carries | k young of which none proves it); 0 where that cannot be."""
        whole = self.weight(k)
        return self.weight(k, carrying=True) / whole if whole else 0.0

    def next_young(self, k: int) -> float:
        """P(the next young proves it | k young of which none does)."""
        whole = self.weight(k)
        return math.fsum(weight * q * (1.0 - q) ** k for weight, _, q in self.cells) / whole if whole else 0.0

    def given_carrying(self) -> Iterator[tuple[float, float]]:
        """Weight within the carriers, and the chance that one young proves it."""
        whole = self.weight(0, carrying=True)
        for weight, carries, q in self.cells:
            if carries and weight > 0.0:
                yield weight / whole, q


def _mate_test(mate: Mate, joint: JointCopies, *, eggs: EggCount, proves: Proof, below: float, most: int) -> MateTest:
    """All numbers of one mate."""
    cells = _Cells(tuple((joint[a][m], a > 0, proves(a, m)) for a in range(3) for m in range(3)))
    carrying = tuple(cells.given_carrying())
    able = math.fsum(weight for weight, q in carrying if q > 0.0)
    wait = math.fsum(weight / q for weight, q in carrying if q > 0.0)
    in_clutch = math.fsum(weight * eggs.at_least_one(q) for weight, q in carrying)
    before = cells.carries(0)
    return MateTest(
        label=mate.label,
        carries=before,
        per_young=math.fsum(weight * q for weight, q in carrying),
        able=able,
        young_until_proven=wait if carrying and able > 1.0 - 1e-12 else None,
        young_until_proven_if_able=wait / able if able > 0.0 else None,
        proves_in_clutch=before * in_clutch,
        proves_in_clutch_if_carries=in_clutch,
        cleared_below=below,
        young_to_clear=_young_to_clear(cells, below),
        bits=_bits(cells, eggs),
        curve=tuple(cells.carries(k) for k in range(most + 1)),
        next_young=tuple(cells.next_young(k) for k in range(most + 1)),
    )


def _young_to_clear(cells: _Cells, below: float) -> int | None:
    """Least k with P(carries | k) below the bound; None where the part that can never be proved stays above it."""
    never = math.fsum(weight for weight, carries, q in cells.cells if carries and q <= 0.0)
    clear = cells.weight(0, carrying=False)
    if never >= below * (never + clear):
        return None
    high = 1
    while cells.carries(high) >= below:
        high *= 2
    return next(k for k in range(high // 2 if high > 1 else 0, high + 1) if cells.carries(k) < below)


def _bits(cells: _Cells, eggs: EggCount) -> float:
    """Mutual information of one clutch and carrying: a proof settles it, no proof leaves the entropy of the curve."""
    left = math.fsum(chance * cells.weight(n) * _entropy(cells.carries(n)) for n, chance in hatchling_counts(eggs))
    return max(0.0, _entropy(cells.carries(0)) - left)


def _entropy(p: float) -> float:
    """Entropy of a yes or no, in bits."""
    return -math.fsum(part * math.log2(part) for part in (p, 1.0 - p) if part > 0.0)


def _joint(copies: Copies, mate: Mate) -> JointCopies:
    """Joint table of the animal and a mate; the product where none is given."""
    if mate.joint is not None:
        return mate.joint
    none, one, two = ((a * mate.copies[0], a * mate.copies[1], a * mate.copies[2]) for a in copies)
    return none, one, two


def _check(copies: Copies, mates: Sequence[Mate]) -> None:
    """Refuse what are no probabilities, all faults together."""
    given: list[tuple[str, str, tuple[float, ...]]] = [("copies", "", copies)]
    for mate in mates:
        table = tuple(p for row in mate.joint for p in row) if mate.joint is not None else mate.copies
        given.append(("joint" if mate.joint is not None else "copies", mate.label, table))
    faults = [
        Fault(
            "PRV-001",
            f"the chances of copies {tuple(round(p, 6) for p in table)} do not sum to 1, or one is negative.",
            "Give chances between 0 and 1 that sum to 1.",
            field=field,
            animal=label,
        )
        for field, label, table in given
        if any(p < 0.0 for p in table) or abs(math.fsum(table) - 1.0) > _SUM_SLACK
    ]
    if faults:
        raise CrossError(faults)
