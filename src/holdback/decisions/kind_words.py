"""Kinds of animals, and chances, in a breeder's words."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.collection.model import Sex
from holdback.decisions.goal import GoalGene, Target
from holdback.decisions.kinds import SURE
from holdback.decisions.steps import Kind
from holdback.heredity.frequency import in_words

_OFFSPRING = {Sex.MALE: "a son", Sex.FEMALE: "a daughter", Sex.UNKNOWN: "a young"}
_ANIMAL = {Sex.MALE: "a male", Sex.FEMALE: "a female", Sex.UNKNOWN: "an animal"}


def kind_words(kind: Kind, target: Target, *, is_bred: bool = False) -> str:
    """A kind of animal in words: "a daughter that shows Enchi and carries Clown".

    Parameters
    ----------
    kind : Kind
        What it must at least be.
    target : Target
        Whose genes the kind speaks of.
    is_bred : bool
        Whether it is a young of a pair spoken of.

    Examples
    --------
    >>> from holdback.decisions.wanting import goal_gene
    >>> from holdback.species.catalogue import load
    >>> target = Target((goal_gene("clown", 2, load()), goal_gene("enchi", 1, load())))
    >>> kind_words(Kind(((1.0, 0.0), (1.0, 0.0)), Sex.FEMALE), target, is_bred=True)
    'a daughter that shows Enchi and carries Clown'
    >>> kind_words(Kind(((2 / 3, 0.0), (0.0, 0.0)), Sex.MALE), target)
    'a male that may carry Clown (2 in 3)'
    """
    shows: list[str] = []
    carries: list[str] = []
    may: list[str] = []
    for gene, (some, two) in zip(target.genes, kind.genes, strict=True):
        if gene.copies == 0:
            continue
        if two >= 1.0 - SURE:
            shows.append(_two(gene))
        elif some >= 1.0 - SURE:
            (carries if gene.is_hidden else shows).append(gene.name)
        elif some > SURE:
            may.append(f"{gene.name} ({in_words(some, of='')})")
    parts = [
        f"{verb} {listed(names)}"
        for verb, names in (("shows", shows), ("carries", carries), ("may carry", may))
        if names
    ]
    head = (_OFFSPRING if is_bred else _ANIMAL)[kind.sex]
    return f"{head} that {listed(parts)}" if parts else f"{head} of any look"


def _two(gene: GoalGene) -> str:
    return gene.name if gene.is_hidden or not gene.tells_two else f"two copies of {gene.name}"


def listed(words: Sequence[str], *, last: str = "and") -> str:
    """Words as a list in a sentence: "a, b and c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"


def in_hundred(chance: float) -> str:
    """A chance as whole cases in a hundred: "53 in 100", "under 1 in 100".

    Examples
    --------
    >>> in_hundred(0.535), in_hundred(0.002), in_hundred(0.0), in_hundred(0.999)
    ('54 in 100', 'under 1 in 100', 'none', 'over 99 in 100')
    """
    if chance <= 1e-9:
        return "none"
    if chance < 0.005:
        return "under 1 in 100"
    if 0.995 <= chance < 1.0 - 1e-9:
        return "over 99 in 100"
    return f"{chance * 100 + 1e-9:.0f} in 100"


def percent(share: float) -> str:
    """A share in percent with at most one decimal: "12.5 %", "25 %", "6.3 %"."""
    return f"{share * 100 + 1e-9:.1f}".removesuffix(".0") + " %"
