"""Ideas for an animal: what to bring, why, what comes of it, who has it, and what is never brought."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, TypeAlias

from holdback.decisions.ideas.carried import Carried
from holdback.decisions.ideas.phrases import capital, listed, of_young
from holdback.heredity.crosses.result import Caution
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint
from holdback.species.model import Mark

SURE = 0.995
"""Chance from which a thing counts as sure."""

UNRELATED = 1 / 32
"""Inbreeding of the young below which two animals are told as hardly related."""

CLOSE = 1 / 8
"""Inbreeding of the young from which another mate is advised: that of half sibs, the limit that goals begin with."""

Together: TypeAlias = Callable[[frozenset[str]], Sequence[ParentsJoint]]
"""What the animal and a mate may be together at some loci, the male as the sire."""


class Only(StrEnum):
    """Which ideas to give."""

    ANYTHING = "anything"
    AT_HAND = "at hand"
    OFFERED = "on offer"


@dataclass(frozen=True, slots=True)
class PossibleMate:
    """An animal that could be the mate.

    Parameters
    ----------
    id, name : str
        Id, and what to call it; an offer has its number as id and its text as name.
    belief : GenotypeBelief
        Sex, and what it may carry.
    kinship : float or None
        Kinship with the animal asked about, which is the inbreeding of their young; None where nobody knows.
    is_proven : bool or None
        Whether it has had young; None where nobody knows.
    hatched : str
        Year of hatching; empty where nobody knows.
    together : Together or None
        What the two may be together; None where what one carries says nothing of the other.
    """

    id: str
    name: str
    belief: GenotypeBelief
    kinship: float | None = None
    is_proven: bool | None = None
    hatched: str = ""
    together: Together | None = None


@dataclass(frozen=True, slots=True)
class Holder:
    """A mate that has a gene of an idea.

    Parameters
    ----------
    id, name : str
        As in `PossibleMate`.
    chance : float
        Chance that it has the gene.
    shows : float
        Chance that it shows it.
    per_hatchling : float
        Chance that one living young of the two is what the idea is after.
    first_clutch : float
        Chance of at least one in a laid clutch of the two.
    kinship : float or None
        Inbreeding of their young; None where nobody knows.
    is_proven : bool or None
        Whether it has had young; None where nobody knows.
    hatched : str
        Year of hatching; empty where nobody knows.
    """

    id: str
    name: str
    chance: float
    shows: float
    per_hatchling: float
    first_clutch: float
    kinship: float | None
    is_proven: bool | None
    hatched: str = ""

    @property
    def facts(self) -> tuple[str, ...]:
        """What should be known of it as a mate, in a few words each."""
        doubt = f"has it with a chance of {self.chance:.0%}"
        carries = "shows it" if self.shows >= SURE else "carries it" if self.chance >= SURE else doubt
        said = [carries]
        if self.kinship is not None:
            inbred = f"their young would be inbred {self.kinship + 1e-9:.1%}"  # one half goes up
            if self.kinship >= CLOSE:
                inbred = f"close kin, better another mate: {inbred}"
            little = "unrelated by the records" if self.kinship == 0.0 else "hardly related"
            said.append(inbred if self.kinship >= UNRELATED else little)
        if self.is_proven is not None:
            said.append("proven" if self.is_proven else "no young on record")
        if self.hatched and not self.is_proven:
            said.append(f"hatched {self.hatched}")
        return tuple(said)


@dataclass(frozen=True, slots=True)
class Brought:
    """One gene to bring.

    Parameters
    ----------
    allele, name : str
        Allele key and trade name.
    notes : tuple of str
        What should be known of this gene: hard to see, linked to sex, from memory.
    at_hand, offered : tuple of Holder
        Who has it, unrelated first, then proven, then the surest.
    """

    allele: str
    name: str
    notes: tuple[str, ...] = ()
    at_hand: tuple[Holder, ...] = ()
    offered: tuple[Holder, ...] = ()


@dataclass(frozen=True, slots=True)
class NamedCombo:
    """A trade name that an idea leads to.

    Parameters
    ----------
    name : str
        Trade name.
    lacks : tuple of str
        Genes that it still lacks when the animal and the idea have come together.
    generations : int
        Generations until it can hatch: 1 is the first clutch.
    mark : Mark
        Trust in the name.
    """

    name: str
    lacks: tuple[str, ...]
    generations: int
    mark: Mark

    @property
    def sentence(self) -> str:
        """What it needs, in a sentence."""
        when = "the first clutch can show it" if self.generations == 1 else f"in {self.generations} generations"
        memory = ", a name from memory" if self.mark is Mark.MEMORY else ""
        if not self.lacks:
            return f"Makes {self.name}{memory}: {when}."
        return f"Leads to {self.name}{memory}, with {listed(self.lacks)} too: {when}."


@dataclass(frozen=True, slots=True)
class Idea:
    """What to bring, and what comes of it.

    Parameters
    ----------
    genes : tuple of Brought
        One gene, or several that are equally good, the likeliest to be at hand first.
    label : str
        The idea in a few words: "Pastel", "Any that brings brighter colour".
    score : float
        As `docs/explanation/ideas.md` has it; only its order means anything.
    is_same_recessive : bool
        Whether it is a recessive that the animal carries already; such ideas stand first.
    why : tuple of str
        Reasons, in sentences.
    combos : tuple of NamedCombo
        Trade names that it leads to, those that lack least first.
    aim : str
        What is counted among the young, in words.
    is_seen : bool
        Whether that can be seen in the first clutch; else young only carry some of it.
    per_hatchling : float
        Chance that one living young is so.
    first_clutch : float
        Chance of at least one in the first laid clutch.
    generations : int
        Generations until the look of it can be seen.
    consequences : tuple of str
        What else comes of it, in sentences.
    cautions : tuple of str
        What needs a word first; empty where nothing does.
    """

    genes: tuple[Brought, ...]
    label: str
    score: float
    is_same_recessive: bool
    why: tuple[str, ...]
    combos: tuple[NamedCombo, ...]
    aim: str
    is_seen: bool
    per_hatchling: float
    first_clutch: float
    generations: int
    consequences: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def chance_sentence(self) -> str:
        """Chance of what is counted, and when its look can be seen, in a sentence."""
        later = "" if self.is_seen else f" The look itself takes {self.generations} generations."
        return (
            f"{capital(of_young(self.per_hatchling))} {self.aim}: "
            f"{_percent(self.first_clutch)} for at least one in a laid clutch.{later}"
        )


@dataclass(frozen=True, slots=True)
class RuledOut:
    """A gene that is not brought.

    Parameters
    ----------
    allele, name : str
        Allele key and trade name.
    reasons : tuple of str
        Why, in sentences.
    codes : tuple of str
        Cautions that the keeper would have to allow, all of them, for the idea to be given; empty where it never is.
    """

    allele: str
    name: str
    reasons: tuple[str, ...]
    codes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Ideas:
    """Ideas for one animal.

    Parameters
    ----------
    carried : tuple of Carried
        What it has, as the ideas count it.
    cautions : tuple of Caution
        What it carries itself that needs a word, gravest first.
    never : tuple of RuledOut
        What is not brought.
    ideas : tuple of Idea
        Best first.
    left_out : tuple of (str, str)
        Mates that are not named for any idea, by name, with the reason.
    notes : tuple of str
        What the ideas rest on.
    """

    carried: tuple[Carried, ...]
    cautions: tuple[Caution, ...]
    never: tuple[RuledOut, ...]
    ideas: tuple[Idea, ...]
    left_out: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """Plain values, numbers unrounded: the keys of ``holdback ideas --json``."""
        return {
            "has": [_carried(each) for each in self.carried],
            "cautions": [{"code": each.code, "level": each.level, "message": each.message} for each in self.cautions],
            "never": [
                {"gene": each.name, "key": each.allele, "reasons": list(each.reasons), "allowed_by": list(each.codes)}
                for each in self.never
            ],
            "ideas": [_idea(each) for each in self.ideas],
            "left_out": [{"name": name, "reason": reason} for name, reason in self.left_out],
            "notes": list(self.notes),
        }


def _percent(chance: float) -> str:
    return "over 99%" if 0.99 < chance < 1.0 else f"{chance:.0%}"


def _carried(each: Carried) -> dict[str, Any]:
    return {
        "gene": each.name,
        "key": each.allele,
        "locus": each.locus,
        "chance": each.chance,
        "shows": each.shows,
        "two_copies": each.two,
    }


def _idea(idea: Idea) -> dict[str, Any]:
    return {
        "label": idea.label,
        "score": idea.score,
        "same_recessive": idea.is_same_recessive,
        "genes": [
            {
                "gene": each.name,
                "key": each.allele,
                "notes": list(each.notes),
                "at_hand": [_holder(one) for one in each.at_hand],
                "on_offer": [_holder(one) for one in each.offered],
            }
            for each in idea.genes
        ],
        "why": list(idea.why),
        "combos": [
            {"name": one.name, "lacks": list(one.lacks), "generations": one.generations, "mark": str(one.mark)}
            for one in idea.combos
        ],
        "aim": idea.aim,
        "seen_in_first_clutch": idea.is_seen,
        "per_hatchling": idea.per_hatchling,
        "first_clutch": idea.first_clutch,
        "generations": idea.generations,
        "consequences": list(idea.consequences),
        "cautions": list(idea.cautions),
    }


def _holder(one: Holder) -> dict[str, Any]:
    return {
        "id": one.id,
        "name": one.name,
        "chance": one.chance,
        "shows": one.shows,
        "per_hatchling": one.per_hatchling,
        "first_clutch": one.first_clutch,
        "inbreeding": one.kinship,
        "proven": one.is_proven,
        "hatched": one.hatched or None,
    }
