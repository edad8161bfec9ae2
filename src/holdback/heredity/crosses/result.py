"""What a cross answers: looks with their odds, what stays hidden, the chance of what is wanted, and the cautions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.heredity.crosses.clutch import EggCount, summary

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue

ENGINE_VERSION = "crosses 1"
"""Version of the way crosses are worked out; stands with every result."""


@dataclass(frozen=True, slots=True)
class HiddenGene:
    """A gene that young of a look may carry without showing it, or in one or two copies that look alike.

    Parameters
    ----------
    allele, gene : str
        Allele key and trade name.
    chance : float
        Chance, among young of this look, of what cannot be seen: of carrying it at all, or, where the look tells that
        it is carried, of two copies.
    two_copies : float
        Chance of two copies among young of this look.
    basis : Basis
        Always by descent: it follows from the parents.
    rests_on : Basis
        The weakest basis among the parents' genes that it follows from.
    """

    allele: str
    gene: str
    chance: float
    two_copies: float
    basis: Basis = Basis.BY_DESCENT
    rests_on: Basis = Basis.CLAIMED


@dataclass(frozen=True, slots=True)
class Outcome:
    """One look of the young.

    Parameters
    ----------
    looks : tuple of str
        Names of what is seen, recessives last, else in catalogue order; empty for a normal.
    label : str
        The names in one line, "normal" where there are none.
    probability : float
        Chance that a fertile egg hatches with this look, and is of `sex` where that is set.
    per_hatchling : float
        Chance among the young that live.
    sex : Sex or None
        Set where sons and daughters differ.
    hidden : tuple of HiddenGene
        What cannot be seen on it.
    lost : bool
        True where every young of this look dies after hatching.
    text : str
        Chance in words.
    trade_name : str
        Combo name where the look is that combo exactly and fully; else empty.
    keys : tuple of str
        Keys of the looks.
    """

    looks: tuple[str, ...]
    label: str
    probability: float
    per_hatchling: float
    sex: Sex | None
    hidden: tuple[HiddenGene, ...]
    lost: bool
    text: str
    trade_name: str = ""
    keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TurnsOn:
    """A fact about a parent that decides whether the wanted young can come at all.

    Parameters
    ----------
    parent : str
        "sire" or "dam".
    locus, gene : str
        Locus key and trade name of what it must carry.
    chance : float
        Chance that the parent carries it.
    if_so : float
        Chance per egg if it does.
    """

    parent: str
    locus: str
    gene: str
    chance: float
    if_so: float


@dataclass(frozen=True, slots=True)
class WantOdds:
    """Chance of what is wanted.

    Parameters
    ----------
    text : str
        The wish as typed.
    per_egg, per_hatchling : float
        Chance that one fertile egg gives it alive, and that one living young is it.
    at_least_one : float
        Chance of at least one in this clutch, mixed over what the parents may carry.
    eggs_for, clutches_for : mapping of str to (int or None)
        Certainty in percent ("50", "90", "95", "99") to the eggs and clutches needed; None: no number will do.
    at_least : mapping of str to float
        Number of wanted young to the chance of at least as many in this clutch.
    one_of_each_sex : float
        Chance of at least one male and one female in this clutch; 0 where the wish names a sex.
    possible : float
        Chance that the pair can give it at all.
    either_or : str
        One sentence: what the chance turns on; empty where nothing is in doubt.
    turns_on : tuple of TurnsOn
        The facts behind that sentence.
    """

    text: str
    per_egg: float
    per_hatchling: float
    at_least_one: float
    eggs_for: Mapping[str, int | None]
    clutches_for: Mapping[str, int | None]
    at_least: Mapping[str, float]
    one_of_each_sex: float
    possible: float
    either_or: str = ""
    turns_on: tuple[TurnsOn, ...] = ()
    eggs_for_each_sex: Mapping[str, int | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Caution:
    """A word that belongs to a result.

    Parameters
    ----------
    code : str
        Stable code.
    level : str
        "note", "think" or "stop".
    message : str
        What, why and what to do.
    """

    code: str
    level: str
    message: str


@dataclass(frozen=True, slots=True)
class Odds:
    """Everything a cross answers.

    Parameters
    ----------
    outcomes : tuple of Outcome
        Likeliest looks first.
    listed, unlisted : float
        Chance per egg of the looks listed, and of those that hatch but are not listed.
    lost : float
        Chance that a fertile egg dies in the egg of its genes; ``listed + unlisted + lost`` is 1.
    lost_after_hatching : float
        Chance per egg that the young hatches and then dies of its genes; part of `listed` and `unlisted`.
    want : WantOdds or None
        None where nothing was wanted.
    cautions : tuple of Caution
        Gravest first.
    exact : bool
        False where an answer is rounded by more than 1e-9 of itself.
    assumptions : tuple of str
        What was taken for granted.
    by_sex : bool
        Whether looks are listed for each sex apart.
    eggs : EggCount
        The clutch counted on.
    n_looks : int
        Number of different looks in all, an upper bound where several sires are in question.
    engine_version : str
        Version of the method.
    """

    outcomes: tuple[Outcome, ...]
    listed: float
    unlisted: float
    lost: float
    lost_after_hatching: float
    want: WantOdds | None
    cautions: tuple[Caution, ...]
    exact: bool
    assumptions: tuple[str, ...]
    by_sex: bool
    eggs: EggCount
    n_looks: int
    engine_version: str = ENGINE_VERSION

    def as_json(self, catalogue: Catalogue) -> dict[str, Any]:
        """Result in plain values, numbers unrounded.

        Parameters
        ----------
        catalogue : Catalogue
            Species that the odds were worked out with.

        Returns
        -------
        dict
            Keys of the command's contract (``outcomes``, ``listed``, ``lost``, ``want``, ``cautions``, ``exact``) and
            further ones.
        """
        return {
            "species": catalogue.name,
            "outcomes": [_outcome(outcome) for outcome in self.outcomes],
            "listed": self.listed,
            "unlisted": self.unlisted,
            "lost": self.lost,
            "lost_after_hatching": self.lost_after_hatching,
            "looks_in_all": self.n_looks,
            "want": None if self.want is None else _want(self.want),
            "cautions": [
                {"code": caution.code, "level": caution.level, "message": caution.message} for caution in self.cautions
            ],
            "exact": self.exact,
            "assumptions": list(self.assumptions),
            "by_sex": self.by_sex,
            "eggs": dict(summary(self.eggs)),
            "engine_version": self.engine_version,
        }


def _outcome(outcome: Outcome) -> dict[str, Any]:
    """One look in plain values."""
    return {
        "looks": list(outcome.looks),
        "label": outcome.label,
        "trade_name": outcome.trade_name,
        "probability": outcome.probability,
        "per_hatchling": outcome.per_hatchling,
        "sex": None if outcome.sex is None else outcome.sex.value,
        "hidden": [
            {
                "gene": hidden.gene,
                "chance": hidden.chance,
                "two_copies": hidden.two_copies,
                "basis": hidden.basis.value,
                "rests_on": hidden.rests_on.value,
            }
            for hidden in outcome.hidden
        ],
        "lost": outcome.lost,
        "text": outcome.text,
    }


def _want(want: WantOdds) -> dict[str, Any]:
    """Chance of what is wanted in plain values."""
    return {
        "text": want.text,
        "per_egg": want.per_egg,
        "per_hatchling": want.per_hatchling,
        "at_least_one": want.at_least_one,
        "eggs_for": dict(want.eggs_for),
        "clutches_for": dict(want.clutches_for),
        "at_least": dict(want.at_least),
        "one_of_each_sex": want.one_of_each_sex,
        "eggs_for_each_sex": dict(want.eggs_for_each_sex),
        "possible": want.possible,
        "either_or": want.either_or,
        "turns_on": [
            {"parent": fact.parent, "gene": fact.gene, "chance": fact.chance, "if_so": fact.if_so}
            for fact in want.turns_on
        ],
    }
