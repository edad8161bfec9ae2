"""Who the sire is by the genes, and what was foretold for a clutch beside what came."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from holdback.answers.season.ratios import ClutchRatios, GeneRatio, clutch_ratios
from holdback.collection.estimate import Basis
from holdback.descent.family import UNKNOWN_SIRE
from holdback.errors import HoldbackError
from holdback.heredity.beliefs.beliefs import SireOdds
from holdback.web.pages.components import Column, LedgerRow, Table
from holdback.web.pages.pairing import listed as looks_of
from holdback.web.pages.size.parts import Part
from holdback.web.pages.wording import SURE, about, eggs_of, percent
from holdback.web.pages.worked_out import Working, answers_or_work
from holdback.web.records.models import Clutch
from holdback.web.records.overlay import SPECIES

if TYPE_CHECKING:
    from holdback.answers import Answers

SHOWN = 6
"""Looks foretold for eggs that have not hatched."""

LEAST_TOLD = 0.005
"""Foretold chance from which a look that did not come has a row of its own."""

TRACE = 1e-6
"""Chance that is left by rounding."""

_HEADS = (Column("Look"), Column("Foretold", is_full=True), Column("Came", is_full=True))


@dataclass(frozen=True, slots=True)
class Foretold:
    """What the answers say of a clutch.

    Parameters
    ----------
    sires : list of LedgerRow
        Candidate sires; empty where one is as good as sure.
    said : str
        The test of what came, in words; empty where nothing came yet.
    looks : Table or None
        Looks foretold, and how many came.
    genes : Table or None
        The same gene by gene, each with its test.
    """

    sires: list[LedgerRow]
    said: str = ""
    looks: Table | None = None
    genes: Table | None = None


def foretold_of(answers: Answers, clutch: Clutch) -> Foretold:
    """What is said of one clutch.

    Raises
    ------
    HoldbackError
        If the clutch or one of its parents cannot be used.
    """
    candidates = answers.sires(clutch.tag).candidates
    sires = _sire_rows(answers, candidates)
    ratios = clutch_ratios(answers, clutch.tag)
    if ratios is not None and ratios.whole.n:
        return Foretold(sires, ratios.whole.said, _whole_table(ratios), _gene_table(ratios.genes))
    return Foretold(sires, looks=_before(answers, clutch, candidates))


def _sire_rows(answers: Answers, candidates: Sequence[SireOdds]) -> list[LedgerRow]:
    """Candidate sires, likeliest first; nothing where one is as good as sure."""
    if not candidates or max(one.posterior for one in candidates) >= SURE:
        return []
    rows = []
    for one in sorted(candidates, key=lambda one: -one.posterior):
        moved = abs(one.posterior - one.prior) > 0.005
        ground = (
            f"{about(one.prior)} before the genes of the young spoke." if moved else "By matings and records alone."
        )
        basis = Basis.BY_OFFSPRING if moved else Basis.ASSUMED
        name = f"Sire is {_name(answers, one.sire)}"
        rows.append(LedgerRow(name, percent(one.posterior), "", basis, _large(ground)))
    return rows


def _name(answers: Answers, sire: str) -> str:
    if sire == UNKNOWN_SIRE:
        return "a male not on record"
    animal = answers.collection.animals.get(sire)
    return (animal.name or animal.id) if animal else "none"


def _whole_table(ratios: ClutchRatios) -> Table:
    told = [one for one in ratios.whole.looks if one.came or one.foretold >= LEAST_TOLD]
    rows = [[_large(one.look), _chance(one.foretold), str(one.came)] for one in told]
    rest = sum(one.foretold for one in ratios.whole.looks if one not in told)
    if rest > TRACE:
        rows.append(["Any other look", _chance(rest), "0"])
    return Table(_HEADS, rows, caption=f"{ratios.whole.n} young of which the look is on record.")


def _gene_table(genes: Sequence[GeneRatio]) -> Table | None:
    if not genes:
        return None
    heads = (
        Column("Gene"),
        Column("Foretold", is_full=True),
        Column("Came", is_number=True),
        Column("What it tells", is_full=True),
    )
    rows = [[one.gene, _chance(one.chance), f"{one.k} of {one.n}", one.test.said] for one in genes]
    return Table(heads, rows)


def _before(answers: Answers, clutch: Clutch, candidates: Sequence[SireOdds]) -> Table | None:
    """Looks foretold for eggs of which none was looked at; None where a parent is not on record."""
    known = [one for one in candidates if one.sire in answers.collection.animals]
    if clutch.dam is None or not known:
        return None
    best = max(known, key=lambda one: one.posterior)
    dam = answers.collection.clutches[clutch.tag].dam
    if dam is None:
        return None
    found = answers.odds(best.sire, dam)
    outcomes = looks_of(found)[:SHOWN]
    rows = [[_large(one.label), _chance(one.probability), "after hatching"] for one in outcomes]
    rest = 1 - sum(one.probability for one in outcomes)
    if rest > TRACE:
        rows.append(["Any other look", _chance(rest), "after hatching"])
    only = "" if best.posterior >= SURE else f" If {_name(answers, best.sire)} is the sire."
    return Table(_HEADS, rows, caption=f"Per fertile egg, by all records of both parents.{only}")


def _chance(chance: float) -> str:
    return f"{eggs_of(chance)} · {percent(chance)}"


def _large(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def odds_part(clutch: Clutch) -> Part[Foretold]:
    """What is said of a clutch, worked out; or the job that works it out, or why it cannot be told."""
    try:
        answers = answers_or_work(clutch.dam.species if clutch.dam else SPECIES)
        return Part(working=answers) if isinstance(answers, Working) else Part(foretold_of(answers, clutch))
    except HoldbackError as error:
        return Part(faults=error.faults)
