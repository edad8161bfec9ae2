"""What an animal page says: the title sentence, the ledger, what it carries. Only what the records support."""

from __future__ import annotations

from collections.abc import Sequence

from holdback.collection.countries import countries
from holdback.collection.estimate import Basis
from holdback.collection.model import Origin, PartialDate, Sex, Trait
from holdback.heredity.genotype import GenotypeBelief
from holdback.species.catalogue import Catalogue
from holdback.web.pages.components import LedgerRow
from holdback.web.pages.map.places import degrees_in_words
from holdback.web.pages.parent_words import SHOWN, carried, seen
from holdback.web.pages.wording import SURE, about, day, listed, quantity, span, whole_percent
from holdback.web.records.models import Animal, LineClaim, Measurement, PlaceOfOrigin, SexDetermination

_LEAST_IN_TITLE = 0.05
"""Chance of carrying below which the title sentence does not speak of a gene."""
PRONOUN = {Sex.FEMALE.value: "She", Sex.MALE.value: "He"}
_NAMES = {
    Trait.SNOUT_VENT_LENGTH.value: "Length to the vent",
    Trait.TOTAL_LENGTH.value: "Length in all",
    Trait.HEAD_WIDTH.value: "Head width",
    Trait.HEAD_LENGTH.value: "Head length",
    Trait.GIRTH.value: "Girth",
}
_EMPTY = frozenset({"", "empty"})


def noun(sex: str) -> str:
    """The animal by its sex: "female", "male", "animal of unknown sex"."""
    return sex if sex in PRONOUN else "animal of unknown sex"


def over_line(animal: Animal) -> str:
    """Line above the title: sex, hatch date, origin, status."""
    hatched = f"hatched {day(animal.hatch_date)}" if animal.hatch_date else "hatch date not known"
    origin = animal.origin if animal.origin != Origin.UNKNOWN.value else "origin not known"
    sex = animal.sex if animal.sex in PRONOUN else "sex not known"
    return " · ".join(part for part in (sex.capitalize(), hatched, origin, animal.status) if part)


def title_sentences(
    animal: Animal, belief: GenotypeBelief | None, catalogue: Catalogue, lines: Sequence[LineClaim]
) -> tuple[str, str]:
    """What the animal is in a sentence, and what is uncertain of it (may be empty)."""
    looks = seen(belief, catalogue) if belief else []
    sure = [look.name for look in looks if look.chance >= SHOWN]
    kind = noun(animal.sex)
    head = f"{' '.join(sure)} {kind}" if sure else f"{kind} with no gene noted that shows"
    share = f", claimed {listed([f'{_share(line)} {line.line}' for line in lines])}" if lines else ""
    plain = f"{article(head)} {head}{share}."
    hidden = carried(belief, catalogue) if belief else []
    she = PRONOUN.get(animal.sex, "It")
    certain = [part.name for part in hidden if part.chance >= SURE]
    if certain and belief:
        verb = (
            "carries"
            if all(
                _basis(belief, part.allele, catalogue) is not Basis.CLAIMED for part in hidden if part.chance >= SURE
            )
            else "is said to carry"
        )
        plain += f" {she} {verb} {listed(certain)}."
    doubts = [f"{part.name}, {about(part.chance)}" for part in hidden if _LEAST_IN_TITLE <= part.chance < SURE]
    doubts += [f"{look.name}, {about(look.chance)}" for look in looks if look.chance < SHOWN]
    shown = doubts[:3]
    more = f", and {len(doubts) - 3} more below" if len(doubts) > 3 else ""
    return plain, (f"{she} may carry {'; '.join(shown)}{more}." if shown else "")


def article(words: str) -> str:
    """Article that words begin with in a sentence."""
    return "An" if words[:1].casefold() in "aeiou" else "A"


def _basis(belief: GenotypeBelief, allele: str, catalogue: Catalogue) -> Basis:
    return belief.basis.get(catalogue.locus_of(allele).key, Basis.CLAIMED)


def _share(line: LineClaim) -> str:
    if line.share_low == line.share_high:
        return "all" if line.share_low == 1 else whole_percent(line.share_low)
    return f"{span(100 * line.share_low, 100 * line.share_high)}\u00a0%"


def ledger_rows(
    animal: Animal,
    readings: Sequence[Measurement],
    *,
    lines: Sequence[LineClaim],
    findings: Sequence[SexDetermination],
) -> list[LedgerRow]:
    """Numbers and facts with the basis of each; nothing that no record supports.

    Parameters
    ----------
    animal : Animal
        The animal; its clutch is read.
    readings : sequence of Measurement
        By date, oldest first.
    lines : sequence of LineClaim
        What is said of its line.
    findings : sequence of SexDetermination
        By date, oldest first.
    """
    rows = _weight_rows([reading for reading in readings if reading.trait == Trait.MASS.value])
    for trait, name in _NAMES.items():
        if found := [reading for reading in readings if reading.trait == trait]:
            last = found[-1]
            count = f"{len(found)} readings." if len(found) > 1 else ""
            rows.append(LedgerRow(name, quantity(last.value, last.unit, 1), _when(last.date), Basis.MEASURED, count))
    rows.append(_hatch_row(animal))
    rows.append(_origin_row(animal))
    rows += _place_rows(animal)
    rows.append(_sex_row(animal, findings))
    rows += [
        LedgerRow(line.line, _share(line), "", Basis.CLAIMED, line.ground or "No ground is noted.") for line in lines
    ]
    return rows


def _when(text: str) -> str:
    return day(PartialDate.parse(text)) if text else ""


def _weight_rows(readings: list[Measurement]) -> list[LedgerRow]:
    if not readings:
        return []
    plain = [reading for reading in readings if reading.condition.casefold() in _EMPTY]
    later = [reading for reading in readings if reading.condition.casefold() not in _EMPTY]
    if not plain:
        last = readings[-1]
        return [
            LedgerRow(
                "Weight",
                quantity(last.value, last.unit, 1),
                _when(last.date),
                Basis.MEASURED,
                f"Weighed {last.condition}; no empty weight is on record.",
            )
        ]
    last = plain[-1]
    ground = "Last empty weight." if last.condition else "Last weight; whether empty is not noted."
    if later and later[-1].date > last.date:
        left = later[-1]
        ground += f" {quantity(left.value, left.unit, 1)} on {_when(left.date)} is left out: {left.condition}."
    return [LedgerRow("Weight", quantity(last.value, last.unit, 1), _when(last.date), Basis.MEASURED, ground)]


def _hatch_row(animal: Animal) -> LedgerRow:
    if animal.hatch_date is None:
        return LedgerRow("Hatched", "not known")
    if animal.clutch:
        return LedgerRow("Hatched", day(animal.hatch_date), "", Basis.MEASURED, f"Clutch {animal.clutch.tag}.")
    return LedgerRow("Hatched", day(animal.hatch_date), "", Basis.CLAIMED, "As entered; no clutch is on record.")


def _origin_row(animal: Animal) -> LedgerRow:
    if animal.origin == Origin.UNKNOWN.value:
        return LedgerRow("Origin", "not known")
    if animal.clutch:
        return LedgerRow("Origin", animal.origin, "", Basis.MEASURED, "Its clutch is on record.")
    return LedgerRow("Origin", animal.origin, "", Basis.CLAIMED, "As entered; only import papers or a clutch prove it.")


def _place_rows(animal: Animal) -> list[LedgerRow]:
    """Where it is said to come from, to a tenth of a degree."""
    said = PlaceOfOrigin.objects.filter(animal=animal).first()
    if said is None:
        return []
    near = ""
    if said.latitude is not None and said.longitude is not None:
        near = f"near {degrees_in_words(round(said.latitude, 1), round(said.longitude, 1))}"
    country = countries()[said.country] if said.country else ""
    value, *rest = [part for part in (said.place, country, near) if part]
    return [LedgerRow("Comes from", value, ", ".join(rest), Basis.CLAIMED, said.ground or "No ground is noted.")]


def _sex_row(animal: Animal, findings: Sequence[SexDetermination]) -> LedgerRow:
    if animal.sex not in PRONOUN:
        return LedgerRow("Sex", "not known")
    last = next((finding for finding in reversed(findings) if finding.sex == animal.sex), None)
    if last and last.method:
        by = f" by {last.found_by}" if last.found_by else ""
        return LedgerRow("Sex", animal.sex, _when(last.date), Basis.MEASURED, f"{last.method.capitalize()}{by}.")
    return LedgerRow("Sex", animal.sex, "", Basis.CLAIMED, "As entered; how it was found is not noted.")
