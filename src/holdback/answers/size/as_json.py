"""Sizes as the command `size` and the API give them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from holdback.answers.carried import animals_asked
from holdback.collection.estimate import Estimate
from holdback.size import AnimalSize, LineEffect
from holdback.size.response import Realised

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.answers.size import LineResponse, Sizes


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


def sizes_as_json(found: dict[str, AnimalSize], sizes: Sizes) -> dict[str, Any]:
    """The keys of `holdback size`."""
    evaluation = sizes.evaluation
    return {
        "animals": {animal: animal_as_json(size) for animal, size in found.items()},
        "lines": {
            name: line_as_json(effect) | {"response": response_as_json(sizes.response(name))}
            for name, effect in evaluation.lines.items()
        },
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


def response_as_json(response: LineResponse) -> dict[str, Any]:
    """One line's response: null where nothing can be said."""
    expected, needed = response.expected, response.needed
    return {
        "years": [
            {"year": one.year, "young": one.n_young, "share": one.share, "breeding_value": ranged(one.breeding_value)}
            for one in response.cohorts
        ],
        "realised": _changed(response.realised),
        "everybody": _changed(response.everybody),
        "expected": None
        if expected is None
        else {
            "per_generation_percent": ranged(expected.per_generation),
            "per_year_percent": ranged(expected.per_year),
            "generation_years": expected.interval_years,
            "chance_larger": expected.chance_larger,
            "kept": {
                sex: {"kept": one.n_kept, "of": one.n_candidates, "reliability": one.reliability}
                for sex, one in zip(("males", "females"), response.kept, strict=True)
            },
        },
        "animals_needed": None if needed is None else needed.n_animals,
        "said": list(response.said),
        "assumed": list(response.assumed),
    }


def _changed(found: Realised | None) -> dict[str, Any] | None:
    """A change from year to year."""
    if found is None:
        return None
    return {
        "per_year_percent": ranged(found.per_year),
        "slope": found.slope,
        "slope_sd": found.slope_sd,
        "chance_larger": found.chance_larger,
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
