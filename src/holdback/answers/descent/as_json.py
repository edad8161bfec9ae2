"""Relatedness and shares as the commands and the API print them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from holdback.answers.carried import animals_asked
from holdback.collection.status import is_here
from holdback.descent.contributions import founder_contributions
from holdback.errors import Fault, PedigreeError

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.answers.descent import LineShare


def pair_asked(answers: Answers, texts: Sequence[str]) -> tuple[str, ...]:
    """Ids of no animal, or of the two that are asked about.

    Raises
    ------
    PedigreeError
        PED-012 if another number is named.
    CollectionError
        BEL-001 for each text that is no animal.
    """
    if len(texts) not in (0, 2):
        hint = "Name two animals, or none for everybody."
        what = f"{len(texts)} {'animal is' if len(texts) == 1 else 'animals are'} named."
        raise PedigreeError(Fault("PED-012", what, hint, value=" ".join(texts)))
    return tuple(animal.id for animal in animals_asked(answers, texts))


def everybody_as_json(answers: Answers) -> dict[str, Any]:
    """Inbreeding of every animal, and the part of each founder in the animals that are here."""
    descent = answers.descent
    pedigree, values = descent.pedigree, descent.inbreeding
    here = [pedigree.index[one.id] for one in answers.collection.animals.values() if is_here(one.status)]
    parts = founder_contributions(pedigree, here) if here else {}
    return {
        "animals": {one: {"inbreeding": float(values[pedigree.index[one]])} for one in answers.collection.animals},
        "founders": {
            pedigree.ids[node]: part
            for node, part in sorted(parts.items(), key=lambda one: (-one[1], one[0]))
            if part > 0
        },
    }


def shares_asked(
    answers: Answers, texts: Sequence[str], *, line: str = "", above: float | None = None
) -> dict[str, tuple[LineShare, ...]]:
    """Shares by animal; of all animals where none is named.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    texts : sequence of str
        Ids or names.
    line : str
        One line only; empty for all.
    above : float, optional
        A share that is asked about; only checked here.

    Raises
    ------
    PedigreeError
        PED-011 if no claim names the line, PED-013 if `above` is no share.
    CollectionError
        BEL-001 for each text that is no animal.
    """
    if above is not None and not 0 <= above < 1:
        hint = "Give a share from 0 up to 1, such as 0.5."
        raise PedigreeError(Fault("PED-013", f"A share of {above:g} cannot be.", hint, field="above", value=str(above)))
    descent = answers.descent
    lines = [descent.line_named(line)] if line else list(descent.lines)
    ids = [animal.id for animal in animals_asked(answers, texts)] or list(answers.collection.animals)
    by_line = [descent.shares_of(ids, one) for one in lines]
    return {animal: tuple(shares[place] for shares in by_line) for place, animal in enumerate(ids)}


def shares_as_json(found: dict[str, tuple[LineShare, ...]], above: float | None) -> dict[str, Any]:
    """The keys of `holdback shares`."""
    return {
        "animals": {
            animal: {
                one.line: one.as_json() | ({} if above is None else {"above": one.distribution.above(above)})
                for one in shares
            }
            for animal, shares in found.items()
        }
    }
