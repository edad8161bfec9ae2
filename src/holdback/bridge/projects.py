"""Goals, planned pairings and prices out of the records, as plans take them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.bridge.cached import catalogue_of_records, collection_of_records
from holdback.collection.collection import Collection
from holdback.collection.model import Mating
from holdback.collection.projects import PairingState, PlannedPairing
from holdback.season.by_season import season_of
from holdback.web.records.overlay import SPECIES
from holdback.web.records.own_rules import own_rules

if TYPE_CHECKING:
    from holdback.decisions.goal import Goal
    from holdback.decisions.prices import Prices
    from holdback.species.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class Planned:
    """A pairing planned for a season, and what became of it.

    Parameters
    ----------
    pairing : PlannedPairing
        As it was planned.
    matings : tuple of Mating
        Matings of the two in that season, as recorded; those without a day count for no season.
    """

    pairing: PlannedPairing
    matings: tuple[Mating, ...] = ()

    @property
    def is_made(self) -> bool:
        """Whether the two were put together in that season; what was dropped and happened all the same was made too."""
        return bool(self.matings)

    @property
    def is_open(self) -> bool:
        """Whether it is still to be done."""
        return not self.is_made and self.pairing.state is not PairingState.DROPPED


def goals_of_records(*, is_all: bool = False, species: str = SPECIES) -> tuple[tuple[str, Goal], ...]:
    """Key and goal of each open project, in the keeper's order.

    Parameters
    ----------
    is_all : bool
        Whether projects that were reached or given up are wanted too.
    species : str
        Key of the species.
    """
    from holdback.answers.decisions.goals import goals_of

    return tuple(goals_of(collection_of_records(species), is_all=is_all).items())


def planned_of_records(year: int | None = None, *, species: str = SPECIES) -> tuple[Planned, ...]:
    """Pairings planned for a season with what became of them, dropped ones among them.

    Parameters
    ----------
    year : int, optional
        Season, by the year of laying; all of them if left out.
    species : str
        Key of the species.
    """
    return planned_in(collection_of_records(species), catalogue_of_records(species), year)


def planned_in(collection: Collection, catalogue: Catalogue, year: int | None = None) -> tuple[Planned, ...]:
    """The same of any collection."""
    found = []
    for pairing in collection.records.planned_pairings:
        if year in (None, pairing.year):
            matings = tuple(
                mating
                for mating in collection.matings_of(pairing.dam)
                if mating.sire == pairing.sire and _season(mating, catalogue) == pairing.year
            )
            found.append(Planned(pairing, matings))
    return tuple(found)


def _season(mating: Mating, catalogue: Catalogue) -> int | None:
    """Season of a mating; a day known to the year only belongs to the season of that year. None without a day."""
    day = mating.together or mating.apart
    if day is None:
        return None
    return season_of(day.earliest, catalogue) if day.month else day.year


def prices_of_records() -> Prices:
    """What things cost by the keeper's own rules; one query."""
    from holdback.decisions.prices import Prices

    own = own_rules()
    return Prices(own.price_tub_year, own.price_feed_gram, own.price_vet, own.price_egg_place, own.currency)
