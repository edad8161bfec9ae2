"""Which pairing would tell most of how an odd animal passes its look on."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

import numpy as np

from holdback.collection.model import Sex
from holdback.heredity.crosses.clutch import EggCount
from holdback.heredity.proving.checking import animals, named_trials
from holdback.heredity.proving.family import TrialFamily
from holdback.heredity.proving.hatchling_counts import hatchling_counts
from holdback.heredity.proving.modes import Assumptions, Mode
from holdback.heredity.proving.rehearsal import MOST_YOUNG, PairMixture
from holdback.heredity.proving.trials import ITSELF, Kind, Look, OddAnimal, Partner, Trial
from holdback.heredity.proving.verdict import PROVED, percent, weigh

PATHS = 400
"""Rehearsed sequences of young for each pairing."""

_IN_PLAY = 0.01
_CLOSE_RELATIVES = 0.25
"""Inbreeding of the young of a parent and its young, and of two full sibs (Wright 1922)."""
_NEW_MATE = "a mate to come"


@dataclass(frozen=True, slots=True)
class Pairing:
    """One pairing and what its young would tell of the mode.

    Parameters
    ----------
    label : str
        The pairing in words.
    needs_young_first : bool
        True where young have to be bred and grown before; what those show on the way is not counted.
    bits : float
        Expected information of one clutch on the mode, in bits.
    now : float
        Probability of the likeliest mode today.
    after_clutch : float
        Expected probability of the likeliest mode after one clutch: the chance that naming it is right.
    settles_at : float
        Level of that probability asked for.
    young_to_settle : int or None
        Young looked at until it is reached; None where more than 120 are needed or none will do.
    eggs_to_settle : int or None
        Eggs of which so many young hatch on average.
    after_most : float
        The same probability after 120 young: as far as this pairing can bring it.
    recessive_cannot_show : bool
        Whether a recessive would stay hidden in this pairing, while it is still in play (1 % or more).
    inbreeding : float
        Inbreeding coefficient of the young from this relation alone; what else the two share comes on top.
    """

    label: str
    needs_young_first: bool
    bits: float
    now: float
    after_clutch: float
    settles_at: float
    young_to_settle: int | None
    eggs_to_settle: int | None
    after_most: float
    recessive_cannot_show: bool
    inbreeding: float

    @property
    def sentence(self) -> str:
        """What a breeder would say of it."""
        if self.now >= self.settles_at:
            end = f"the likeliest mode stands at {percent(self.now)} already"
        elif self.eggs_to_settle is None:
            end = f"{MOST_YOUNG} young bring the likeliest mode to {percent(self.after_most)} on average"
        else:
            end = f"about {self.eggs_to_settle} eggs bring the likeliest mode to {percent(self.settles_at)} on average"
        hidden = "; a recessive cannot show here, so hold back young and put them back" * self.recessive_cannot_show
        wait = " (the young have to be bred first)" * self.needs_young_first
        inbred = f"; the young are inbred (F {percent(self.inbreeding)} or more)" if self.inbreeding else ""
        return f"{self.label}{wait}: {self.bits:.2f} bits a clutch; {end}{hidden}{inbred}."

    def as_json(self) -> dict[str, Any]:
        """Every number with its name, and the sentence."""
        return {**asdict(self), "says": self.sentence}


@dataclass(frozen=True, slots=True)
class Pairings:
    """Pairings for an odd animal, the most telling first.

    Parameters
    ----------
    pairings : tuple of Pairing
        By expected information.
    seed : int
        Seed of the rehearsals.
    eggs_ground : str
        Where the size of the clutch comes from.
    """

    pairings: tuple[Pairing, ...]
    seed: int
    eggs_ground: str

    @property
    def basis(self) -> str:
        """What the numbers rest on."""
        return (
            "Bits: summed over every clutch that may come. Eggs until settled: rehearsed, "
            f"{PATHS} sequences of young with seed {self.seed}, all sexed; the expected probability of the likeliest "
            f"mode is the chance that naming it is right. Clutch: {self.eggs_ground or 'as given'}."
        )

    def as_json(self) -> dict[str, Any]:
        """Pairings in order, and what the numbers rest on."""
        return {"pairings": [one.as_json() for one in self.pairings], "basis": self.basis, "seed": self.seed}


@dataclass(frozen=True, slots=True)
class _Plan:
    """A pair to be judged, and new animals that it descends from."""

    label: str
    first: Partner
    second: Partner
    extra: tuple[Partner, ...] = ()
    trials: tuple[Trial, ...] = ()
    needs_young_first: bool = False


def next_pairings(
    odd: OddAnimal,
    trials: Sequence[Trial],
    *,
    eggs: EggCount,
    prior: Mapping[Mode, float] | None = None,
    given: Assumptions | None = None,
    settles_at: float = PROVED,
    seed: int = 1,
) -> Pairings:
    """What each possible pairing would tell of the mode, the most telling first.

    Parameters
    ----------
    odd, trials, prior, given
        As in `weigh`.
    eggs : EggCount
        One clutch.
    settles_at : float
        Expected probability of the likeliest mode that counts as settled, in (0, 1).
    seed : int
        Seed of the rehearsals.

    Returns
    -------
    Pairings
        The odd animal with an unrelated mate, with its young, with another odd animal; its young with each other. Young
        on count are used where there are any, else young of a mate to come.

    Raises
    ------
    CrossError
        As `weigh`.

    Notes
    -----
    In a clutch of more than 12 young only 12 count towards the bits.
    """
    given = given or Assumptions()
    verdict = weigh(odd, trials, prior=prior, given=given)
    named = named_trials(odd, trials)
    found = []
    for plan in _plans(odd, named):
        families = {mode: TrialFamily(odd, (*named, *plan.trials), mode, given) for mode in Mode}
        mixture = PairMixture.of(
            verdict.posterior,
            {mode: family.pair(plan.first, plan.second, plan.extra) for mode, family in families.items()},
            {mode: family.tables.by_class for mode, family in families.items()},
        )
        recessive = verdict.posterior[Mode.RECESSIVE]
        found.append(_pairing(plan, mixture, recessive=recessive, eggs=eggs, settles_at=settles_at, seed=seed))
    found.sort(key=lambda one: (-round(one.bits, 9), one.needs_young_first, one.label))
    return Pairings(tuple(found), seed, eggs.ground)


def _pairing(
    plan: _Plan, mixture: PairMixture, *, recessive: float, eggs: EggCount, settles_at: float, seed: int
) -> Pairing:
    """Numbers of one pairing."""
    young = hatchling_counts(eggs)
    right = mixture.chance_right(paths=PATHS, seed=seed)
    reaching = np.flatnonzero(right >= settles_at)
    to_settle = int(reaching[0]) if len(reaching) else None
    hatch_share = eggs.expected_hatchlings / eggs.mean if eggs.mean else 0.0
    return Pairing(
        label=plan.label,
        needs_young_first=plan.needs_young_first,
        bits=math.fsum(chance * mixture.bits(n) for n, chance in young),
        now=float(right[0]),
        after_clutch=math.fsum(chance * float(right[min(n, MOST_YOUNG)]) for n, chance in young),
        settles_at=settles_at,
        young_to_settle=to_settle,
        eggs_to_settle=math.ceil(to_settle / hatch_share - 1e-9) if to_settle is not None and hatch_share else None,
        after_most=float(right[-1]),
        recessive_cannot_show=recessive >= _IN_PLAY and Kind.UNRELATED in (plan.first.kind, plan.second.kind),
        inbreeding=_CLOSE_RELATIVES if plan.second.kind is Kind.YOUNG else 0.0,
    )


def _plans(odd: OddAnimal, named: tuple[Trial, ...]) -> Iterator[_Plan]:
    """Pairs worth judging."""
    itself = replace(ITSELF, key=odd.key, sex=odd.sex, look=Look.ODD)
    yield _Plan(f"{odd.key} to an unrelated normal mate", itself, Partner.unrelated("a new mate"))
    yield _Plan(f"{odd.key} to another odd animal held to be the same", itself, Partner.other_odd("another odd"))
    source, plan = _source(itself, named)
    for look, word in ((Look.NORMAL, "normal"), (Look.ODD, "odd")):
        free = 2 * (look is Look.NORMAL) if plan.needs_young_first else _free(named, source, look)
        if free >= 1:
            young = Partner.young(source, f"a {word} young", look=look, sex=_fitting_sex(odd.sex, named, source, look))
            yield replace(plan, label=f"{odd.key} to its own {word} young{plan.label}", second=young)
        if free >= 2:
            one, other = (Partner.young(source, f"{word} young {place}", look=look) for place in (1, 2))
            yield replace(plan, label=f"two {word} young of {odd.key} together{plan.label}", first=one, second=other)


def _source(itself: Partner, named: tuple[Trial, ...]) -> tuple[int, _Plan]:
    """Trial whose young to use: the largest outcross of the odd animal, or one to come."""
    outcrosses = [
        index
        for index, trial in enumerate(named)
        if {trial.parent.kind, trial.mate.kind} == {Kind.ITSELF, Kind.UNRELATED}
        and trial.normal.total + trial.odd.total
    ]
    if outcrosses:
        index = max(outcrosses, key=lambda one: named[one].normal.total + named[one].odd.total)
        mate = named[index].label or f"trial {index + 1}"
        return index, _Plan(f" from {mate}", itself, itself)
    trial = Trial(Partner.unrelated(_NEW_MATE), parent=itself)
    return len(named), _Plan("", itself, itself, trials=(trial,), needs_young_first=True)


def _free(named: tuple[Trial, ...], source: int, look: Look) -> int:
    """Young of a look that are not a parent yet."""
    used = sum(
        1
        for partner in animals(named).values()
        if partner.kind is Kind.YOUNG and partner.trial == source and partner.look is look
    )
    return named[source].counts(look).total - used


def _fitting_sex(sex: Sex, named: tuple[Trial, ...], source: int, look: Look) -> Sex:
    """Sex opposite to that of the odd animal where young of it were counted, else unknown."""
    if sex is Sex.UNKNOWN or source >= len(named):
        return Sex.UNKNOWN
    wanted = Sex.FEMALE if sex is Sex.MALE else Sex.MALE
    return wanted if named[source].counts(look).of(wanted) else Sex.UNKNOWN
