"""Chance that a cross has given a wanted young within so many seasons, and when such young are there.

For a sire on n dams that lay with chance p, of young counted by a law with generating function G, the chance of one or
more within k seasons is

    S(k) = 1 - sum_m w_m [sum_f w_f (1 - p + p G(1 - q_mf))^k]^n

over what the sire (m) and each dam (f) may be: not geometric where a parent may carry nothing. The first season may
have its own p and G (bred females lay less often in their first; a clutch that is under way has its own law).

The season of the young is the season from which both parents are ready, plus the tries before.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from holdback.decisions.route.chances import Chances
from holdback.decisions.route.lookup import Lookup

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Laying:
    """How a dam lays.

    Parameters
    ----------
    first, later : float
        Chance of a clutch in the first season of a cross, and in those after it.
    first_young, later_young : tuple of float
        Chances of 0, 1, 2, ... living young of a clutch.
    """

    first: float
    later: float
    first_young: tuple[float, ...]
    later_young: tuple[float, ...]

    def missed(self, q: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Chance that the first season, and a later one, gives no wanted young."""
        return tuple(  # type: ignore[return-value]
            1 - p + p * np.polynomial.polynomial.polyval(1 - q, young)
            for p, young in ((self.first, self.first_young), (self.later, self.later_young))
        )


@dataclass(eq=False)
class Tries:
    """Store of S(k), by product, number of dams and how they lay.

    The number of dams that are still to be bred is the expected one, perhaps not whole.

    Parameters
    ----------
    chances : Chances
        Products.
    horizon : int
        Last season looked at, H.
    aim : int
        Season up to which waiting counts, W <= H; later ones count as W in a mean.
    """

    chances: Chances
    horizon: int
    aim: int
    layings: list[Laying] = field(default_factory=list)
    waits: dict[int, FloatArray] = field(default_factory=dict)
    _success: list[FloatArray] = field(default_factory=list)
    _uses: list[tuple[float, int]] = field(default_factory=list)
    _use_of: dict[tuple[float, int], int] = field(default_factory=dict)
    _numbers: Lookup = field(init=False)
    _expected: Lookup = field(init=False)

    def __post_init__(self) -> None:
        self._numbers = Lookup(self._added)
        self._expected = Lookup(self._young_of_one)

    def laying(self, law: Laying) -> int:
        """Number of a way of laying."""
        if law not in self.layings:
            self.layings.append(law)
        return self.layings.index(law)

    def use(self, dams: float, laying: int) -> int:
        """Number of so many dams that lay in one way."""
        key = (dams, laying)
        if key not in self._use_of:
            self._use_of[key] = len(self._uses)
            self._uses.append(key)
        return self._use_of[key]

    def numbers(self, products: IntArray, uses: IntArray) -> IntArray:
        """Rows of `success` for crosses."""
        return self._numbers(products, uses).astype(np.int64)

    def number(self, product: int, dams: float, laying: int) -> int:
        """Row of `success` for one cross."""
        return int(self.numbers(np.array([product]), np.array([self.use(dams, laying)]))[0])

    def success(self, number: int) -> FloatArray:
        """S(1), S(2), ..., S(H + 1)."""
        return self._success[number]

    def saved(self, wait: int) -> FloatArray:
        """What each season of readiness takes off the mean, shape (crosses, H + 1); see `mean_season`.

        Parameters
        ----------
        wait : int
            Seasons from hatching to the first own young, fewer than W; 0 for the season of hatching.
        """
        done = self.waits.get(wait, np.empty((0, self.horizon + 1)))
        if len(done) < len(self._success):
            sums = np.cumsum(np.array(self._success[len(done) :]), axis=1)
            more = np.zeros((len(sums), self.horizon + 1))
            usable = self.aim - wait
            more[:, :usable] = sums[:, :usable][:, ::-1]
            self.waits[wait] = done = np.concatenate([done, more])
        return done

    def arrival(self, both_ready: FloatArray, number: int, wait: int = 0) -> FloatArray:
        """Chance that young are there by each season, or ready to breed `wait` seasons on; shape (H + 1,).

        Parameters
        ----------
        both_ready : float array, shape (H + 1,)
            Chance that both parents are ready from each season on.
        """
        found = np.convolve(both_ready, self._success[number])[: self.horizon + 1]
        return np.concatenate([np.zeros(wait), found])[: self.horizon + 1]

    def expected(self, products: IntArray, layings: IntArray) -> FloatArray:
        """Mean number of wanted young in a clutch that has one."""
        return self._expected(products, layings)

    def each_sex(self, product: int, dams: float, laying: int) -> float:
        """Chance of a wanted son and a wanted daughter in the first season; the product holds for either sex."""
        law = self.layings[laying]
        sire, dam, q = self.chances.joint(product)
        none = [float(sire @ (law.missed(part)[0] @ dam) ** dams) for part in (q, 2 * q)]
        return 1 - 2 * none[0] + none[1]

    def _added(self, product: int, use: int) -> int:
        dams, laying = self._uses[use]
        sire, dam, q = self.chances.joint(product)
        first, later = self.layings[laying].missed(q)
        tries = np.arange(self.horizon + 1)[:, None, None]
        missed = ((first * later**tries) @ dam) ** dams @ sire
        self._success.append(np.asarray(1 - missed))
        return len(self._success) - 1

    def _young_of_one(self, product: int, laying: int) -> float:
        young = self.layings[laying].later_young
        sire, dam, q = self.chances.joint(product)
        some = float(sire @ (1 - np.polynomial.polynomial.polyval(1 - q, young)) @ dam)
        number = float(np.arange(len(young)) @ np.array(young))
        return number * float(sire @ q @ dam) / some if some > 0 else 0.0


def mean_season(ready: FloatArray) -> float:
    """Mean of the season, those beyond the last one W counted as W; `ready` is the chance by each of 0 to W.

    Notes
    -----
    The sum over seasons below W of the chance that it is not there yet. For a cross with both parents ready from season
    s with chance r(s) that is W - sum_s r(s) C(W - s), where C(j) = S(1) + ... + S(j).
    """
    return float(len(ready) - 1 - ready[:-1].sum())
