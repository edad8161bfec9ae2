"""Play a plan forward, season by season, many runs side by side."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from holdback.collection.model import Sex
from holdback.decisions.rehearsal.choosing import Known, bits_of, hold_back, known_of
from holdback.decisions.rehearsal.clutches import Laid, laid_of, made_matings
from holdback.decisions.rehearsal.failing import Told, failures
from holdback.decisions.rehearsal.line_bits import share_of
from holdback.decisions.rehearsal.looks import known_of_young
from holdback.decisions.rehearsal.luck import run_words
from holdback.decisions.rehearsal.mating import Matings, matings_of, open_steps, together
from holdback.decisions.rehearsal.setting import FloatArray, IntArray, Move, Setting
from holdback.decisions.rehearsal.state import State
from holdback.decisions.rehearsal.true_genes import CodeArray


@dataclass(frozen=True, eq=False)
class Played:
    """What came of R runs, H seasons at most, and of m goal animals of them.

    Parameters
    ----------
    reached : int array, shape (R,)
        Season of the goal; H where it was not reached.
    goals, eggs, clutches, tubs : int array, shape (R, H)
        Goal animals hatched up to each season; eggs and clutches of it; young held back that are not grown after it.
    money : float array, shape (R,)
        Spent until the goal.
    kept : int array, shape (R, steps, 2)
        Females and males held back for each step.
    tried, laid : int array, shape (R, steps)
        Pairings and clutches of each step.
    failure : int array, shape (R,)
        Number of what was lacking at the season wished; -1 where it was reached by then.
    goal_run : int array, shape (m,)
        Run of each goal animal.
    goal_share, goal_true_share, goal_inbreeding, goal_value : float array, shape (m,)
        Expected share of the line, share by segments (nan where they are not followed), inbreeding, breeding value.
    """

    reached: IntArray
    goals: npt.NDArray[np.int16]
    eggs: npt.NDArray[np.int16]
    clutches: npt.NDArray[np.int16]
    tubs: npt.NDArray[np.int16]
    money: FloatArray
    kept: IntArray
    tried: IntArray
    laid: IntArray
    failure: npt.NDArray[np.int8]
    goal_run: IntArray
    goal_share: FloatArray
    goal_true_share: FloatArray
    goal_inbreeding: FloatArray
    goal_value: FloatArray


def joined(parts: list[Played]) -> Played:
    """Runs of several parts in one, in their order."""
    starts = np.cumsum([0] + [len(part.reached) for part in parts])
    columns = {each.name: np.concatenate([getattr(part, each.name) for part in parts]) for each in fields(Played)}
    columns["goal_run"] = np.concatenate(
        [part.goal_run + start for part, start in zip(parts, starts.tolist(), strict=False)]
    )
    return Played(**columns)


def play(
    setting: Setting,
    alleles: CodeArray,
    *,
    seed: int,
    first: int,
    cancelled: Callable[[], bool] | None = None,
) -> Played:
    """Play some runs.

    Parameters
    ----------
    setting : Setting
        What stays the same.
    alleles : uint8 array, shape (R, A, L, 2)
        True genotypes of the animals at hand in each run.
    seed, first : int
        Seed, and number of the first run; a run's luck depends on nothing else.
    cancelled : callable, optional
        Asked each season whether to stop; what is returned then is of no use.
    """
    words = run_words(seed, first, len(alleles))
    game = _Game(setting, State.at_start(setting, words, alleles))
    for season in range(setting.seasons):
        if cancelled and cancelled():
            break
        if game.state.active.any():
            game.play_season(season)
        game.close_season(season)
    return game.played()


class _Game:
    """Runs on their way, with what is written down of them."""

    def __init__(self, setting: Setting, state: State) -> None:
        self.setting, self.state = setting, state
        n, h = len(state.words), setting.seasons
        self.told = Told.nothing(setting, n)
        self.goals, self.eggs, self.clutches, self.tubs = (np.zeros((n, h), np.int16) for _ in range(4))
        self.failure = np.full(n, -1, np.int8)
        self.found: list[tuple[npt.NDArray[np.generic], ...]] = []

    @property
    def goal(self) -> Move:
        """The step whose young are the goal."""
        return next(move for move in self.setting.moves if move.is_goal)

    def play_season(self, season: int) -> None:
        """Pair, lay, hatch, choose."""
        setting, state = self.setting, self.state
        state.clear_season(setting)
        some = [made_matings(setting, state, made) for made in setting.made] if season == 0 else []
        for move, wanted in zip(setting.moves, open_steps(setting, state), strict=True):
            tried = matings_of(setting, state, move, wanted, season)
            self.told.too_close[:, move.number] |= tried.too_close
            some.append(tried.matings)
        matings = together(some)
        laid = laid_of(setting, state, matings)
        self._count(matings, laid, season)
        copies = laid.young.copies(setting)
        known = known_of(setting, state, laid.young, *known_of_young(setting, state, laid.young, copies))
        taken = self._take_goals(known, season)
        for move in setting.moves:
            run = known.run[known.will_do(setting, move.keep, Sex.UNKNOWN)]
            self.told.found[run, move.number] = True
        kept = hold_back(setting, state, known, taken, season)
        self.told.kept += kept.number
        self.told.no_tub |= kept.no_tub

    def _count(self, matings: Matings, laid: Laid, season: int) -> None:
        """Write down pairings, eggs and clutches."""
        state, told = self.state, self.told
        n = len(state.words)
        eggs = np.bincount(matings.run, laid.eggs, minlength=n)
        clutches = np.bincount(matings.run[laid.is_laid], minlength=n)
        planned = matings.step >= 0
        state.eggs += eggs
        state.clutches += clutches
        state.pairings += np.bincount(matings.run[planned], minlength=n)
        self.eggs[:, season], self.clutches[:, season] = eggs, clutches
        np.add.at(told.tried, (matings.run[planned], matings.step[planned]), 1)
        step = matings.step[laid.is_laid]
        planned = step >= 0
        np.add.at(told.laid, (laid.young.run[planned], step[planned]), 1)
        for move in self.setting.moves:
            here = np.flatnonzero(step == move.number)
            run, sire, dam = (one[here] for one in (laid.young.run, laid.young.sire, laid.young.dam))
            told.possible[run[self._can_give(move, run, sire, dam)], move.number] = True

    def _can_give(self, move: Move, run: IntArray, sire: IntArray, dam: IntArray) -> npt.NDArray[np.bool_]:
        """Whether parents can give what a step is to give, by their true genes."""
        genes = self.setting.genes
        found = np.ones(len(run), dtype=np.bool_)
        for number, (one, two) in enumerate(move.keep.least.tolist()):
            if genes.refused[number]:
                continue
            has = [
                (self.state.alleles[run, slot, genes.locus[number]] == genes.code[number]).any(axis=1)
                for slot in (sire, dam)
            ]
            if two > 0.0:
                found &= has[0] & has[1]
            elif one > 0.0:
                found &= has[0] | has[1]
        return found

    def _take_goals(self, known: Known, season: int) -> npt.NDArray[np.bool_]:
        """Count the goal animals, and write down those that were still wanted."""
        setting, state, goal = self.setting, self.state, self.goal
        taken = known.will_do(setting, goal.keep, goal.sex)
        place = np.flatnonzero(taken)
        place = place[np.argsort(known.run[place], kind="stable")]
        run = known.run[place]
        rank = np.arange(len(run)) - np.searchsorted(run, run)
        place = place[rank < setting.number - state.goals[run]]
        run = known.run[place]
        true = np.full(len(place), np.nan)
        if state.bits is not None and len(place):
            true = share_of(bits_of(setting, state, known, place), setting.map_weights)
        share = known.share[place].astype(np.float64)
        self.found.append((run, share, true, known.inbreeding[place], known.value[place]))
        state.goals += np.bincount(known.run[taken], minlength=len(state.words))
        return taken

    def close_season(self, season: int) -> None:
        """Deaths, tubs, who has reached the goal, who has nothing left to spend."""
        setting, state = self.setting, self.state
        reached = state.active & (state.goals >= setting.number)
        state.reached[reached] = season
        self.goals[:, season] = state.goals
        tubs = np.where(state.active, state.growing(setting, season), 0)
        self.tubs[:, season] = tubs
        state.tub_years += tubs
        state.active &= ~reached
        spent = (state.eggs >= setting.limits.eggs) | (self._money() >= setting.limits.money)
        self.told.spent |= state.active & spent
        state.active &= ~spent
        before = state.alive.copy()
        state.let_die(setting, season)
        self.told.died |= before & ~state.alive
        if season == setting.wished:
            self.failure = failures(setting, self.told, state.reached > season)

    def _money(self) -> FloatArray:
        costs, state = self.setting.costs, self.state
        return costs.pairing * state.pairings + costs.egg * state.eggs + costs.tub_year * state.tub_years

    def played(self) -> Played:
        """What came of it."""
        run, share, true, inbreeding, value = (np.concatenate(each) for each in zip(*self.found, strict=True))
        return Played(
            reached=self.state.reached,
            goals=self.goals,
            eggs=self.eggs,
            clutches=self.clutches,
            tubs=self.tubs,
            money=self._money(),
            kept=self.told.kept,
            tried=self.told.tried,
            laid=self.told.laid,
            failure=self.failure,
            goal_run=run.astype(np.int64),
            goal_share=share,
            goal_true_share=true,
            goal_inbreeding=inbreeding,
            goal_value=value,
        )
