"""The crosses that may be chosen, as columns of arrays, and the worth of a choice, exactly.

With c the chance that an uncertain male carries, and t the sum of his clutches' lambda if he does, none of his clutches
gives what is wanted with chance 1 - c + c exp(-t): his clutches are one bet, not several.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from holdback.decisions.season_plan.plan_input import FloatArray, IntArray, PlanInput

SURE = 40.0
"""Largest lambda: exp(-40) is 4e-18, below what a double can tell from certainty."""


@dataclass(frozen=True, eq=False)
class Columns:
    """Crosses that may be chosen, n of them; parts of all projects stand in one row, and uncertain males in another.

    Parameters
    ----------
    sire, dam : int array, shape (n,)
        Places of the animals.
    project, part : int array, shape (n,)
        Place of the project, and of the part among all parts; -1 for a locked pair that serves none.
    chance : float array, shape (n,)
        Chance that the clutch brings what the part needs.
    log_weight : float array, shape (n,)
        lambda; of an uncertain male's clutch, lambda if he carries.
    bet : int array, shape (n,)
        Place of the uncertain male and part, -1 where the sire is certain.
    bet_chance : float array, shape (n_bets,)
        Chance that he carries.
    bet_part : int array, shape (n_bets,)
        Part that it is about.
    part_project : int array, shape (n_parts,)
        Project of each part.
    part_worth : float array, shape (n_parts,)
        Worth of a part; of parts that count only together, the whole worth.
    together : bool array, shape (n_projects,)
        Whether parts count only together.
    fixed : bool array, shape (n,)
        Whether the dam is locked: one of her columns must be chosen.
    sire_cost : float array, shape (n_males,)
        Cost of using a male.
    dam_cost : float array, shape (n_females,)
        Cost of a clutch.
    """

    sire: IntArray
    dam: IntArray
    project: IntArray
    part: IntArray
    chance: FloatArray
    log_weight: FloatArray
    bet: IntArray
    bet_chance: FloatArray
    bet_part: IntArray
    part_project: IntArray
    part_worth: FloatArray
    together: np.ndarray
    fixed: np.ndarray
    sire_cost: FloatArray
    dam_cost: FloatArray

    @property
    def n(self) -> int:
        """Number of columns."""
        return len(self.sire)

    @property
    def n_parts(self) -> int:
        """Number of parts of all projects."""
        return len(self.part_worth)

    def totals(self, chosen: IntArray) -> tuple[FloatArray, FloatArray]:
        """Sum of lambda of each part, shape (n_parts,), and of each uncertain male's clutches, shape (n_bets,)."""
        part, bet = self.part[chosen], self.bet[chosen]
        weight = self.log_weight[chosen]
        bets = _sums(bet[bet >= 0], weight[bet >= 0], len(self.bet_chance))
        sure = (bet < 0) & (part >= 0)
        sums = _sums(part[sure], weight[sure], self.n_parts)
        if len(bets):
            sums += _sums(self.bet_part, bet_weight(bets, self.bet_chance), self.n_parts)
        return sums, bets

    def chances(self, chosen: IntArray) -> FloatArray:
        """Chance of each part, shape (n_parts,)."""
        return -np.expm1(-self.totals(chosen)[0])

    def project_worths(self, chosen: IntArray) -> FloatArray:
        """Worth that each project brings, costs not taken off, shape (n_projects,)."""
        each = self.part_worth * self.chances(chosen)
        n = len(self.together)
        sums = _sums(self.part_project, each, n)
        least = np.full(n, np.inf)
        np.minimum.at(least, self.part_project, each)
        return np.where(self.together, least, sums)

    def costs(self, chosen: IntArray) -> float:
        """Costs of the males used and of the clutches."""
        return float(self.sire_cost[np.unique(self.sire[chosen])].sum() + self.dam_cost[self.dam[chosen]].sum())

    def worth(self, chosen: IntArray) -> float:
        """Worth of a choice, costs taken off."""
        return float(self.project_worths(chosen).sum()) - self.costs(chosen)


def _sums(group: IntArray, values: FloatArray, n: int) -> FloatArray:
    """Sum of the values of each group, shape (n,)."""
    return np.bincount(group, values, minlength=n).astype(np.float64, copy=False)


def bet_weight(total: FloatArray, chance: FloatArray) -> FloatArray:
    """Effective lambda of an uncertain male's clutches, -ln(1 - c + c exp(-t)); concave in t."""
    return -np.log1p(chance * np.expm1(-total))


def bet_slope(total: FloatArray, chance: FloatArray) -> FloatArray:
    """Slope of `bet_weight` in t."""
    alive = chance * np.exp(-total)
    return alive / (1 - chance + alive)


def columns_of(inp: PlanInput) -> Columns:
    """Columns of an input that was checked: banned pairs and animals that are not ready are left away."""
    first_part = np.concatenate([[0], np.cumsum([len(one.parts) for one in inp.projects])]).astype(np.int64)
    parts = [(place, part, one) for place, one in enumerate(inp.projects) for part in one.parts]
    pick = np.flatnonzero(allowed(inp))
    crosses = inp.crosses
    sire, dam, project = crosses.sire[pick], crosses.dam[pick], crosses.project[pick]
    part = first_part[project] + crosses.part[pick]
    chance = crosses.chance[pick]
    sire, dam, project, part, chance, fixed = _with_locks(inp, sire, dam, project, part, chance)
    bets = {(inp.males.index(one.sire), _part_of(inp, one.project, one.part)): one.chance for one in inp.may_carry}
    bet, weight = _bets(bets, sire, part, chance)
    return Columns(
        sire,
        dam,
        project,
        part,
        chance,
        weight,
        bet,
        np.array(list(bets.values()), dtype=float),
        np.array([key[1] for key in bets], dtype=np.int64),
        np.array([place for place, _, _ in parts], dtype=np.int64),
        np.array([one.worth * (1.0 if one.together else part.share) for _, part, one in parts], dtype=float),
        np.array([one.together for one in inp.projects], dtype=bool),
        fixed,
        np.zeros(len(inp.males)) if inp.male_costs is None else inp.male_costs,
        np.zeros(len(inp.females)) if inp.clutch_costs is None else inp.clutch_costs,
    )


def allowed(inp: PlanInput) -> np.ndarray:
    """Which crosses are neither banned nor of an animal that is not ready, shape (n_crosses,)."""
    sires = np.array([one not in inp.not_ready for one in inp.males], dtype=bool)
    dams = np.array([one not in inp.not_ready for one in inp.females], dtype=bool)
    free = np.ones((len(inp.males), len(inp.females), len(inp.projects)), dtype=bool)
    male, female = _places(inp.males), _places(inp.females)
    projects = _places(tuple(one.id for one in inp.projects))
    for ban in inp.bans:
        if ban.sire in male and ban.dam in female and (not ban.project or ban.project in projects):
            which = projects[ban.project] if ban.project else slice(None)
            free[male[ban.sire], female[ban.dam], which] = False
    crosses = inp.crosses
    return np.asarray(
        free[crosses.sire, crosses.dam, crosses.project] & sires[crosses.sire] & dams[crosses.dam], dtype=bool
    )


def _places(names: tuple[str, ...]) -> dict[str, int]:
    return {one: place for place, one in enumerate(names)}


def _part_of(inp: PlanInput, project: str, part: int) -> int:
    """Place of a part among the parts of all projects."""
    place = [one.id for one in inp.projects].index(project)
    return sum(len(one.parts) for one in inp.projects[:place]) + part


_Five = tuple[IntArray, IntArray, IntArray, IntArray, FloatArray]


def _with_locks(
    inp: PlanInput, sire: IntArray, dam: IntArray, project: IntArray, part: IntArray, chance: FloatArray
) -> tuple[IntArray, IntArray, IntArray, IntArray, FloatArray, np.ndarray]:
    """Columns in which a locked dam has only those of her lock; a column that serves nothing where she has none."""
    keep = np.ones(len(sire), dtype=bool)
    fixed_dam = np.zeros(len(inp.females), dtype=bool)
    added: list[tuple[int, int, int]] = []
    ids = [one.id for one in inp.projects]
    for lock in inp.locks:
        male, female = inp.males.index(lock.sire), inp.females.index(lock.dam)
        fixed_dam[female] = True
        hers = dam == female
        fits = hers & (sire == male)
        if lock.project:
            fits &= project == ids.index(lock.project)
        keep &= ~hers | fits
        if not fits.any():
            added.append((male, female, ids.index(lock.project) if lock.project else -1))
    more = np.array(added, dtype=np.int64).reshape(-1, 3)
    nothing = np.full(len(more), -1, dtype=np.int64)
    dams = np.concatenate([dam[keep], more[:, 1]])
    return (
        np.concatenate([sire[keep], more[:, 0]]),
        dams,
        np.concatenate([project[keep], more[:, 2]]),
        np.concatenate([part[keep], nothing]),
        np.concatenate([chance[keep], np.zeros(len(more))]),
        fixed_dam[dams],
    )


def _bets(
    bets: dict[tuple[int, int], float], sire: IntArray, part: IntArray, chance: FloatArray
) -> tuple[IntArray, FloatArray]:
    """Bet of each column, and lambda, given that he carries where it is a bet."""
    bet = np.full(len(sire), -1, dtype=np.int64)
    given = chance.copy()
    for place, ((male, wanted), carries) in enumerate(bets.items()):
        his = (sire == male) & (part == wanted)
        bet[his] = place
        given[his] = chance[his] / carries
    with np.errstate(divide="ignore"):
        return bet, np.minimum(-np.log1p(-np.minimum(given, 1.0)), SURE)
