"""Lengths of the working year that are learned from records, and what the species file calls them."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from holdback.species.catalogue import Catalogue
from holdback.species.model import Mark, Value


class Span(StrEnum):
    """From one event to another."""

    OVULATION_TO_SHED = "ovulation to the shed before laying"
    OVULATION_TO_LAYING = "ovulation to laying"
    SHED_TO_LAYING = "shed before laying to laying"
    PAIRING_TO_LAYING = "first day with a male to laying"
    """Or the first lock, whichever is dated first."""
    LAYING_TO_HATCHING = "laying to the first egg out"
    OUT_AFTER_PIP = "pip to out"
    HATCHING_TO_SHED = "hatching to the first shed"
    HATCHING_TO_MEAL = "hatching to the first meal"
    HATCHING_TO_READY = "hatching to ready for sale"


KEYS: Mapping[Span, str] = MappingProxyType(
    {
        Span.OVULATION_TO_SHED: "prelay_shed_after_ovulation_days",
        Span.OVULATION_TO_LAYING: "laying_after_ovulation_days",
        Span.SHED_TO_LAYING: "laying_after_prelay_shed_days",
        Span.PAIRING_TO_LAYING: "laying_after_pairing_days",
        Span.LAYING_TO_HATCHING: "incubation_days",
        Span.OUT_AFTER_PIP: "out_after_pip_days",
        Span.HATCHING_TO_SHED: "first_shed_days",
        Span.HATCHING_TO_MEAL: "first_meal_days",
        Span.HATCHING_TO_READY: "ready_to_sell_days",
    }
)
"""Name of each length in the species file."""

_ASSUMED: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "interval_prior_records": (4.0, 2.0, 8.0),
        "interval_spread_records": (10.0, 5.0, 20.0),
        "interval_dam_share": (0.2, 0.05, 0.4),
    }
)


def stated(catalogue: Catalogue, key: str) -> Value:
    """Value of the species file that says how far own records are followed, or the same as assumed for any species."""
    found = catalogue.reproduction.get(key)
    if found is not None:
        return found
    value, low, high = _ASSUMED[key]
    return Value(value, low, high, "", Mark.MEMORY, note="Assumed for any species.")


def usual(catalogue: Catalogue, span: Span) -> Value | None:
    """What the species file says of a length; None where it says nothing."""
    return catalogue.reproduction.get(KEYS[span])
