"""Everything that pages and commands ask of goals and plans, each worked out when it is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from functools import cached_property
from typing import TYPE_CHECKING

from holdback.answers.decisions.goals import goals_of, kept_for_others
from holdback.collection.model import Sex
from holdback.decisions.stock import NEVER
from holdback.errors import DecisionError, Fault, HoldbackError

if TYPE_CHECKING:
    from holdback.answers.answers import Answers
    from holdback.answers.decisions.contributing import LineWish
    from holdback.answers.decisions.line_breeding import LineBreeding
    from holdback.answers.decisions.season_input import Wish
    from holdback.answers.decisions.serving import Needed, Served
    from holdback.answers.decisions.settled import Settled
    from holdback.answers.decisions.standing import Standing
    from holdback.answers.season import Season
    from holdback.decisions.goal import Goal, Target
    from holdback.decisions.mates import Mate
    from holdback.decisions.missing_mate import MissingMate
    from holdback.decisions.rehearsal import Rehearsal
    from holdback.decisions.route import Watch, Wishes
    from holdback.decisions.season_plan import PlanInput, Price, SeasonPlan, result
    from holdback.decisions.steps import Plan
    from holdback.decisions.stock import Stock
    from holdback.decisions.welfare import PairWelfare
    from holdback.heredity.crosses.result import Caution

Progress = Callable[[float], None]
Cancelled = Callable[[], bool]

RUNS = 10_000
"""Runs of a rehearsal."""
SHORT = 2_000
"""Runs of a rehearsal where what a season is worth rests on it."""
SEASONS = 9
"""Seasons played at least."""
_GROWN_MONTHS = 60.0
_HOLD_BACK = 3
"""Most daughters of one kind held back of a clutch, as the route counts."""


class Decisions:
    """Goals of one collection and the plans for them, as it stands on a day.

    Parameters
    ----------
    answers : Answers
        Beliefs, descent and sizes.
    season : Season
        The working year of the day.
    goals : mapping of str to Goal, optional
        Goals by key; those of the collection's open projects if left out.
    """

    def __init__(self, answers: Answers, season: Season, *, goals: Mapping[str, Goal] | None = None) -> None:
        self.answers = answers
        self.season = season
        self.catalogue = answers.catalogue
        self.goals = dict(goals) if goals is not None else goals_of(answers.collection)
        self._targets: dict[Goal, tuple[Target, ...]] = {}
        self._is_worked_out = False
        self._lines: dict[tuple[str, LineWish], LineBreeding | HoldbackError] = {}
        self._routes: dict[str, Plan | DecisionError] = {}
        self._fronts: dict[str, tuple[Plan, ...]] = {}
        self._rehearsals: dict[tuple[str, int, int], Rehearsal] = {}
        self._mates: dict[tuple[str, str, str, int], tuple[Mate, ...]] = {}
        self._plans: dict[tuple[int, Wish], tuple[PlanInput, SeasonPlan] | DecisionError] = {}
        self._pressed: set[tuple[int, Wish]] = set()
        self.kept_serving: dict[tuple[str, int], tuple[tuple[Needed, ...], tuple[Served, ...]]] = {}

    def with_goals(self, goals: Mapping[str, Goal]) -> Decisions:
        """The same day and animals with other goals."""
        other = Decisions(self.answers, self.season, goals=goals)
        if "stock" in vars(self):
            vars(other)["stock"] = self.stock
        return other

    def take_over(self, older: Decisions) -> None:
        """Take what was worked out before of the same animals, places and goals: routes, rehearsals, no season plan."""
        for name in ("stock", "welfare"):
            if name in vars(older):
                vars(self)[name] = vars(older)[name]
        self._targets, self._routes = older._targets, older._routes
        self._lines = older._lines
        self._fronts, self._rehearsals = older._fronts, older._rehearsals
        self._is_worked_out, self.kept_serving = older._is_worked_out, older.kept_serving

    @cached_property
    def stock(self) -> Stock:
        """Animals at hand, with everything that plans ask of them."""
        from holdback.answers.decisions.stock import stock_of

        return stock_of(self.answers, self.season)

    def key_of(self, text: str) -> str:
        """Key of a project by its key or its name, whatever the case of the letters.

        Raises
        ------
        DecisionError
            DEC-140 if there is no such project.
        """
        asked = text.strip().casefold()
        for key, goal in self.goals.items():
            if asked in (key.casefold(), goal.name.casefold()):
                return key
        known = ", ".join(goal.name for goal in self.goals.values())
        hint = f"Open projects: {known}." if known else "Start one first."
        raise DecisionError(Fault("DEC-140", f"There is no open project {text.strip()!r}.", hint, value=text))

    def targets(self, goal: Goal) -> tuple[Target, ...]:
        """What a goal asks for, as the engine reads it.

        Raises
        ------
        DecisionError
            With everything that is wrong with it.
        """
        if goal not in self._targets:
            from holdback.decisions.wanting import targets_of

            self._targets[goal] = targets_of(
                goal, self.catalogue, lines=self.answers.descent.lines, this_season=self.stock.year
            )
        return self._targets[goal]

    def stock_for(self, key: str) -> Stock:
        """Animals that a project may use: all but those that are kept for another."""
        others = kept_for_others(self.goals, key)
        return self.stock.without(sorted(others)) if others else self.stock

    @property
    def open_year(self) -> int:
        """First season for which pairs can still be put together."""
        from holdback.answers.decisions.readiness import next_open

        return next_open(self.season.on, self.catalogue)

    @cached_property
    def welfare(self) -> PairWelfare:
        """Cautions of pairs of the animals at hand."""
        from holdback.decisions.welfare import PairWelfare

        return PairWelfare(self.stock, self.catalogue)

    def unspoken(self, key: str) -> tuple[Caution, ...]:
        """What the keeper has to speak for before a project is planned at all."""
        from holdback.decisions.welfare import unspoken, welfare_of

        return unspoken(welfare_of(self.goals[key], self.catalogue), self.goals[key])

    def route(self, key: str, *, watch: Watch | None = None) -> Plan:
        """Best way found from the animals at hand to the goal of a project.

        Of several targets it is the one that is likeliest by the year wished for.

        Parameters
        ----------
        key : str
            Key of the project.
        watch : Watch, optional
            Progress, and what ends the search early; a search ended early is not kept.

        Raises
        ------
        DecisionError
            DEC-142 where the keeper has not spoken for what the goal brings; as the goal and the search raise.
        """
        found = self._routes.get(key)
        if found is None:
            try:
                found = self._searched(key, watch)
            except DecisionError as error:
                found = error
            if watch is None or not watch.stop():
                self._routes[key] = found
        if isinstance(found, DecisionError):
            raise found
        return found

    @property
    def without_route(self) -> dict[str, str]:
        """Projects that have no route, by key, with the reason in a sentence or two."""
        found = {}
        for key in self.goals:
            try:
                self.route(key)
            except DecisionError as error:
                found[key] = " ".join(f"{fault.what} {fault.hint}".strip() for fault in error.faults)
        return found

    def route_or_none(self, key: str) -> Plan | None:
        """Route of a project; None where there is none."""
        try:
            return self.route(key)
        except DecisionError:
            return None

    def _searched(self, key: str, watch: Watch | None) -> Plan:
        from holdback.decisions.route import best_route

        goal = self.goals[key]
        stops = self.unspoken(key)
        if stops:
            codes = ", ".join(one.code for one in stops)
            hint = f"Speak for it in the project (code {codes}), or change what is wanted."
            what = f"{goal.name} is not planned before you have spoken for this: {stops[0].message}"
            raise DecisionError(Fault("DEC-142", what, hint))
        wishes, stock = self.wishes(key), self.stock_for(key)
        found: list[Plan] = []
        faults: list[DecisionError] = []
        for target in self.targets(goal):
            try:
                found.append(best_route(stock, target, wishes, watch=watch))
            except DecisionError as error:
                faults.append(error)
        if not found:
            raise faults[0]
        last = wishes.by if wishes.by is not None else wishes.horizon
        return max(found, key=lambda plan: (plan.by_season[min(last, len(plan.by_season) - 1)], -plan.seasons))

    def wishes(self, key: str) -> Wishes:
        """How the route of a project is looked for."""
        from holdback.decisions.barring import Barring
        from holdback.decisions.route import Wishes

        goal, stock = self.goals[key], self.stock_for(key)
        barring = Barring(stock, goal, self.welfare, NEVER)
        males, females = ([stock.animals[at] for at in stock.of_sex(sex)] for sex in (Sex.MALE, Sex.FEMALE))
        banned = frozenset((sire, dam) for sire in males for dam in females if not barring.may_pair(sire, dam))
        return Wishes(
            inbreeding_at_most=goal.inbreeding_at_most,
            banned=banned,
            hold_back=min(_HOLD_BACK, goal.budget.tubs or _HOLD_BACK),
            by=max(goal.by - stock.year, 0) if goal.by else None,
        )

    def rehearsal(
        self,
        key: str,
        *,
        runs: int = RUNS,
        seed: int = 0,
        workers: int = 1,
        cluster: str = "",
        progress: Progress | None = None,
        cancelled: Cancelled | None = None,
    ) -> Rehearsal:
        """The route of a project played forward many times; kept by runs and seed.

        Raises
        ------
        DecisionError
            As the route and the rehearsal raise.
        Cancelled
            If `cancelled` said so.
        """
        asked = (key, runs, seed)
        if asked not in self._rehearsals:
            from holdback.decisions.rehearsal import rehearse

            goal, stock = self.goals[key], self.stock_for(key)
            self._rehearsals[asked] = rehearse(
                stock,
                self.route(key),
                goal=goal,
                catalogue=self.catalogue,
                runs=runs,
                seasons=self.seasons_played(key),
                seed=seed,
                workers=workers,
                cluster=cluster,
                genome=self.answers.descent.genome if goal.line else None,
                ordinary_g=self.ordinary_g(),
                progress=progress,
                cancelled=cancelled,
            )
        return self._rehearsals[asked]

    def seasons_played(self, key: str) -> int:
        """Seasons that a rehearsal of a project plays: to its year and three more, `SEASONS` at least."""
        goal = self.goals[key]
        last = max(goal.by - self.stock.year + 1, 1) if goal.by else 0
        return max(last + 3, SEASONS)

    def settled(self, key: str, kept: Plan, kept_year: int) -> Settled:
        """Whether a plan that was kept stands, or a new one takes its place; see `settled.settled`."""
        from holdback.answers.decisions.settled import settled

        return settled(self, key, kept, kept_year)

    def standing(self, key: str) -> Standing:
        """Who carries what the goal asks for, and what each animal is in the project."""
        from holdback.answers.decisions.standing import standing_of

        return standing_of(self, key)

    def chances(self, key: str) -> tuple[float, ...]:
        """Chance that the goal of a project has been hatched by each season from 0: as rehearsed, in short."""
        fuller = self.rehearsed(key)
        found = fuller or self.rehearsal(key, runs=SHORT)
        return tuple(one.mean for one in found.reached_by_season)

    def rehearsed(self, key: str, *, runs: int = RUNS, seed: int = 0) -> Rehearsal | None:
        """The rehearsal if it has been played already."""
        return self._rehearsals.get((key, runs, seed))

    def ordinary_g(self) -> float:
        """Adult mass of an ordinary female, in gram; nan where nothing is known."""
        grown = self.answers.sizes.evaluation.curves.ordinary(Sex.FEMALE, [_GROWN_MONTHS])
        return float(grown.median[0])

    @property
    def is_worked_out(self) -> bool:
        """Whether every route, its rehearsal and the plan of the open season are there, or why they cannot be."""
        return self._is_worked_out

    def work_out(self, *, progress: Progress | None = None, cancelled: Cancelled | None = None) -> None:
        """Work out every route, its rehearsal, and the plan of the open season.

        Parameters
        ----------
        progress : callable, optional
            Told the share done, in [0, 1]; what it raises ends the work.
        cancelled : callable, optional
            Asked now and then whether to stop.

        Raises
        ------
        Cancelled
            If `cancelled` said so.
        """
        from holdback.decisions.route import Watch

        tell = progress or (lambda _: None)
        _ = self.stock
        n = len(self.goals)
        for number, key in enumerate(self.goals):
            searching = _part_of(tell, number / (n + 1), 0.6 / (n + 1))
            playing = _part_of(tell, (number + 0.6) / (n + 1), 0.4 / (n + 1))
            searching(0.0)
            with suppress(DecisionError):
                self.route(key, watch=Watch(searching, cancelled))
                self.rehearsal(key, progress=playing, cancelled=cancelled)
        with suppress(DecisionError):
            self.season_plan()
        self._is_worked_out = True
        tell(1.0)

    def season_input(self, year: int, wish: Wish) -> PlanInput:
        """What the pairings of a season are chosen from."""
        return self._planned(year, wish)[0]

    def season_plan(self, year: int | None = None, wish: Wish | None = None) -> SeasonPlan:
        """Who goes with whom in a season, for all projects at once.

        Parameters
        ----------
        year : int, optional
            Season by the year of laying; the first for which pairs can be put together if left out.
        wish : Wish, optional
            Caution, reserve, locks.

        Raises
        ------
        DecisionError
            Where nothing can be planned: the sentence says which limit to relax.
        """
        from holdback.answers.decisions.season_input import Wish

        return self._planned(year or self.open_year, wish or Wish())[1]

    def prices(
        self, year: int, wish: Wish, *, progress: Progress | None = None, cancelled: Cancelled | None = None
    ) -> tuple[Price, ...]:
        """What each limit that binds costs, the dearest first."""
        from holdback.decisions.season_plan import prices

        return prices(*self._planned(year, wish), progress=progress, cancelled=cancelled)

    def has_season_plan(self, year: int, wish: Wish, *, pressed: bool = False) -> bool:
        """Whether a season has been planned so, or cannot be; `pressed`: with all the time of `press_on`."""
        asked = (year, wish)
        return asked in (self._pressed if pressed else self._plans)

    def press_on(
        self,
        year: int,
        wish: Wish,
        *,
        seconds: float = 300.0,
        progress: Progress | None = None,
        cancelled: Cancelled | None = None,
    ) -> None:
        """Plan a season with more time, where the plan was not proven best; the better plan takes its place.

        Raises
        ------
        DecisionError
            As `season_plan`.
        """
        from holdback.decisions.season_plan import plan_season

        inp, before = self._planned(year, wish)
        if not before.optimal:
            after = plan_season(inp, seconds=seconds, progress=progress, cancelled=cancelled)
            self._plans[year, wish] = (inp, max(before, after, key=lambda plan: (plan.worth, -plan.gap)))
        self._pressed.add((year, wish))

    def _planned(self, year: int, wish: Wish) -> tuple[PlanInput, SeasonPlan]:
        asked = (year, wish)
        if asked not in self._plans:
            from holdback.answers.decisions.season_input import season_input
            from holdback.decisions.season_plan import plan_season

            try:
                inp = season_input(self, year, wish)
                self._plans[asked] = (inp, plan_season(inp))
            except DecisionError as error:
                self._plans[asked] = error
        found = self._plans[asked]
        if isinstance(found, DecisionError):
            raise found
        return found

    def mates(self, animal: str, *, key: str = "", want: str = "", year: int | None = None) -> tuple[Mate, ...]:
        """Every possible mate of an animal, the best first, for a project or a plain wish.

        Parameters
        ----------
        animal : str
            Id.
        key : str
            Key of the project; empty for a plain wish.
        want : str
            Wish in trade shorthand, where no project is named.
        year : int, optional
            Season of the pairing; the first that is open if left out.

        Raises
        ------
        DecisionError
            DEC-143 where neither a project nor a wish is named; as the mates raise.
        """
        from holdback.decisions.mates import mates

        asked = (animal, key, want, year or self.open_year)
        if asked not in self._mates:
            goal, stock = self._asked(key, want)
            self._mates[asked] = mates(
                stock,
                animal,
                self.targets(goal),
                goal,
                self.catalogue,
                season=asked[3] - self.stock.year,
                plan=self.route_or_none(key) if key else None,
                welfare=self.welfare,
            )
        return self._mates[asked]

    def reasons(self, pairing: result.Pairing, year: int) -> tuple[str, ...]:
        """Why a pair stands in the season plan: what it adds there, then what the pair is good for by itself."""
        if not pairing.project:
            return pairing.reasons
        mates = self.mates(pairing.dam, key=pairing.project, year=year)
        own = next((one.reasons for one in mates if one.mate == pairing.sire), ())
        return (*pairing.reasons, *own)

    def missing_mates(
        self, animal: str, *, key: str = "", want: str = "", year: int | None = None
    ) -> tuple[MissingMate, ...]:
        """Mates that are not in the collection and would do better than those that are; see `mates`."""
        from holdback.decisions.missing_mate import missing_mates

        goal, stock = self._asked(key, want)
        return missing_mates(
            stock,
            animal,
            self.targets(goal),
            goal,
            self.catalogue,
            season=(year or self.open_year) - self.stock.year,
        )

    def contributions(
        self, line: str, wish: LineWish | None = None, *, cancelled: Cancelled | None = None
    ) -> LineBreeding:
        """Who of a line should breed in the open season, and how much each; kept.

        Raises
        ------
        HoldbackError
            As `holdback.answers.decisions.contributing.contributions_of`.
        """
        from holdback.answers.decisions.contributing import LineWish, contributions_of

        asked = (line, wish or LineWish())
        found = self._lines.get(asked)
        if found is None:
            try:
                found = contributions_of(self, *asked, cancelled=cancelled)
            except HoldbackError as error:
                found = error
            if cancelled is None or not cancelled():
                self._lines[asked] = found
        if isinstance(found, HoldbackError):
            raise found
        return found

    def has_contributions(self, line: str, wish: LineWish) -> bool:
        """Whether it is worked out who of a line should breed, or why nobody can."""
        return (line, wish) in self._lines

    def _asked(self, key: str, want: str) -> tuple[Goal, Stock]:
        """Goal of a project or of a plain wish, and the animals that it may use."""
        from holdback.decisions.goal import Goal

        if key:
            return self.goals[key], self.stock_for(key)
        if not want.strip():
            raise DecisionError(Fault("DEC-143", "Nothing is wanted.", "Name a project, or say what is wanted."))
        return Goal(name=want.strip(), want=want), self.stock


def _part_of(tell: Progress, start: float, width: float) -> Progress:
    """Progress of one part of the work, told as that of the whole."""
    return lambda share: tell(start + width * share)
