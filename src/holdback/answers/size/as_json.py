"""Sizes as the command `size` and the API give them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from holdback.answers.carried import animals_asked
from holdback.collection.estimate import Estimate
from holdback.size import AnimalSize, LineEffect, SizeEvaluation

if TYPE_CHECKING:
    from holdback.answers import Answers


def sizes_asked(answers: Answers, texts: Sequence[str]) -> dict[str, AnimalSize]:
    """Sizes by animal; of all animals where none is named.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    texts : sequence of str
        Ids or names.

    Raises
    ------
    CollectionError
        BEL-001 for each text that is no animal.
    """
    ids = [animal.id for animal in animals_asked(answers, texts)] or list(answers.collection.animals)
    return {animal: answers.sizes.of(animal) for animal in ids}


def sizes_as_json(found: dict[str, AnimalSize], evaluation: SizeEvaluation) -> dict[str, Any]:
    """The keys of `holdback size`."""
    return {
        "animals": {animal: animal_as_json(size) for animal, size in found.items()},
        "lines": {name: line_as_json(effect) for name, effect in evaluation.lines.items()},
        "heritability": ranged(evaluation.variances.heritability) | {"knows_little": evaluation.variances.knows_little},
        "left_out": evaluation.readings.left_out(),
        "questions": [
            {
                "code": one.code,
                "animal": one.animal,
                "date": str(one.date),
                "trait": str(one.trait),
                "typed": one.typed,
                "message": one.message,
                "perhaps": one.perhaps,
            }
            for one in evaluation.readings.questions
        ],
        "assumptions": list(evaluation.assumptions),
        "settled": evaluation.settled,
    }


def animal_as_json(size: AnimalSize) -> dict[str, Any]:
    """One animal: null where nothing can be said."""
    compared = size.compared
    return {
        "percentile": None if compared is None else compared.percentile.mean,
        "percentile_range": None if compared is None else ranged(compared.percentile),
        "compared_with": None if compared is None else compared.whom,
        "age_months": None if compared is None or math.isnan(compared.age_months) else compared.age_months,
        "adult_mass_g": ranged(size.adult_mass_g),
        "is_grown": size.is_grown,
        "deviation_percent": ranged(size.deviation),
        "hatching_percent": ranged(size.hatching),
        "breeding_value": ranged(size.breeding_value),
        "within_line": ranged(size.within_line),
        "head_percent": None if size.head is None else ranged(size.head),
        "reliability": size.reliability,
        "weights": size.n_weights,
        "weights_left_out": size.n_left_out,
        "fits": size.fits,
        "fit_note": size.fit_note,
        "sharpen": [
            {
                "what": one.what,
                "adult_range_now": one.adult_range_now,
                "adult_range_then": one.adult_range_then,
                "reliability_now": one.reliability_now,
                "reliability_then": one.reliability_then,
            }
            for one in size.sharpen
        ],
    }


def line_as_json(effect: LineEffect) -> dict[str, Any]:
    """One line."""
    return {
        "effect_percent": ranged(effect.effect),
        "owned_percent": ranged(effect.owned),
        "head_percent": None if effect.head is None else ranged(effect.head),
        "chance_larger": effect.chance_larger,
        "founders": effect.n_founders,
        "weighed": effect.n_weighed,
        "can_tell": effect.can_tell,
        "why_not": list(effect.why_not),
    }


def ranged(estimate: Estimate) -> dict[str, Any]:
    """Middle, 90 % range, how it is known."""
    return {
        "mean": estimate.mean,
        "low": estimate.low,
        "high": estimate.high,
        "basis": str(estimate.basis),
        "ground": estimate.ground,
    }
