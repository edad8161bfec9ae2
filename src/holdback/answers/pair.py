"""What a pair gives, with what is known of both sides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from holdback.errors import CrossError, Fault
from holdback.heredity.crosses import EggCount, Odds, odds, odds_joint
from holdback.heredity.genotype import GenotypeBelief, ParentsJoint, Wish
from holdback.species.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class Parent:
    """One side of a pairing: an animal of the collection, or genes as typed.

    Parameters
    ----------
    id : str
        Animal id; empty for typed genes.
    label : str
        What to call it: name and id, or the text as typed.
    belief : GenotypeBelief
        What it carries.
    grounds : mapping of str to str
        Locus key to a sentence that says why; empty for typed genes.
    warnings : tuple of (str, str)
        Code and message of everything that was doubtful in reading it.
    """

    id: str
    label: str
    belief: GenotypeBelief
    grounds: Mapping[str, str] = field(default_factory=dict)
    warnings: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class PairOdds:
    """What a pair gives, with what is known of both sides.

    Parameters
    ----------
    sire, dam : Parent
        The two sides.
    odds : Odds
        Offspring distribution, wish, cautions.
    scenarios : tuple of ParentsJoint
        What both may be together; empty for typed genes, which are independent.
    wish : Wish or None
        The wish it was asked with.
    """

    sire: Parent
    dam: Parent
    odds: Odds
    scenarios: tuple[ParentsJoint, ...]
    wish: Wish | None = None

    def with_eggs(self, eggs: EggCount, catalogue: Catalogue) -> Odds:
        """The same pair and wish with another clutch; one look is listed."""
        return crossed(self.sire, self.dam, self.scenarios, catalogue, eggs=eggs, want=self.wish, top=1)

    def as_json(self, catalogue: Catalogue) -> dict[str, Any]:
        """One JSON object: the keys of `holdback odds`, numbers unrounded."""
        answer = self.odds.as_json(catalogue)
        answer["sire"] = _side(self.sire)
        answer["dam"] = _side(self.dam)
        return answer


def _side(parent: Parent) -> dict[str, Any]:
    """JSON form of one side of the pair."""
    return {
        "id": parent.id or None,
        "label": parent.label,
        "sex": str(parent.belief.sex),
        "warnings": [{"code": code, "message": message} for code, message in parent.warnings],
    }


def crossed(
    sire: Parent,
    dam: Parent,
    scenarios: tuple[ParentsJoint, ...],
    catalogue: Catalogue,
    *,
    eggs: EggCount,
    want: Wish | None,
    top: int,
) -> Odds:
    """What comes out of two sides: from their joint states where there are any, else taken as independent."""
    if not scenarios:
        return odds(sire.belief, dam.belief, catalogue, eggs=eggs, want=want, top=top)
    return odds_joint(scenarios, catalogue, sire=sire.belief, dam=dam.belief, eggs=eggs, want=want, top=top)


def independent(sire: GenotypeBelief, dam: GenotypeBelief) -> ParentsJoint:
    """Two beliefs taken as independent."""
    loci = {
        locus: {
            (mine, hers): chance * rest
            for mine, chance in sire.at(locus).items()
            for hers, rest in dam.at(locus).items()
            if chance * rest > 0.0
        }
        for locus in {**sire.loci, **dam.loci}
    }
    return ParentsJoint(1.0, loci, {**dam.phase, **sire.phase})


def egg_count(catalogue: Catalogue, *, eggs: int | None = None, hatch_rate: float | None = None) -> EggCount:
    """Clutch to count on: so many eggs, or what the species file says.

    Raises
    ------
    CrossError
        If the number of eggs or the hatch rate is out of range.
    """
    faults = []
    if eggs is not None and not 1 <= eggs <= 10_000:
        faults.append(Fault("PAIR-006", f"{eggs} eggs cannot be.", "Give 1 to 10,000.", field="eggs", value=str(eggs)))
    if hatch_rate is not None and not 0.0 < hatch_rate <= 1.0:
        faults.append(
            Fault(
                "PAIR-007",
                f"A hatch rate of {hatch_rate} cannot be.",
                "Give more than 0 and at most 1.",
                field="hatch rate",
            )
        )
    if faults:
        raise CrossError(faults)
    if eggs is None:
        return EggCount.from_species(catalogue)
    return EggCount.fixed(eggs, hatch_rate=1.0 if hatch_rate is None else hatch_rate)
