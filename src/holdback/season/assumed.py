"""Values of a season that a species file may leave out, with what is assumed of any species instead."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from holdback.species.catalogue import Catalogue
from holdback.species.model import Mark, Value

_ASSUMED: Mapping[str, tuple[float, float, float]] = MappingProxyType(
    {
        "slug_rate": (0.1, 0.05, 0.15),
        "slug_clumping": (0.2, 0.05, 0.4),
        "loss_clumping": (0.2, 0.05, 0.4),
        "losses_first_third": (0.3, 0.15, 0.45),
        "losses_last_third": (0.45, 0.3, 0.6),
        "weak_egg_hatches": (0.5, 0.2, 0.8),
        "pipped_egg_hatches": (0.97, 0.9, 1.0),
        "clutch_size_dam_share": (0.3, 0.1, 0.5),
        "sold_after_ready_days": (30.0, 3.0, 90.0),
        "incubation_days": (57.0, 53.0, 62.0),
        "out_after_pip_days": (2.0, 1.0, 3.0),
        "ready_to_sell_days": (56.0, 42.0, 70.0),
    }
)


def assumed(catalogue: Catalogue, key: str) -> Value:
    """Value of the species file, or what is assumed of any species where it states none."""
    found = catalogue.reproduction.get(key)
    if found is not None:
        return found
    value, low, high = _ASSUMED[key]
    return Value(value, low, high, "", Mark.MEMORY, note="Assumed for any species.")
