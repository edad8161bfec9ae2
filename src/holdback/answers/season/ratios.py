"""What came out of a clutch beside what was foretold for it: the whole look, and gene by gene."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from holdback.answers.season.clutch_looks import ClutchLooks
from holdback.answers.season.gene_chances import GeneChance, gene_chances
from holdback.answers.season.look_table import look_table
from holdback.season.outlook import RatioTest
from holdback.season.ratio import ALIKE, REST, Part, groups_test, pooled_test, ratio_test

if TYPE_CHECKING:
    from holdback.answers.answers import Answers

HARDLY_EVER = 0.01
"""Foretold chance below which a gene that did not come is not told."""


@dataclass(frozen=True, slots=True)
class GeneRatio:
    """How often a gene shows among the young of a clutch.

    Parameters
    ----------
    gene, allele : str
        Trade name, and key of the allele.
    chance : float
        Foretold chance that a young shows it, in [0, 1], over all that the parents may be.
    n, k : int
        Young of which it is on record whether they show it, and those that do.
    test : RatioTest
        Its rows are the young with and without it.
    """

    gene: str
    allele: str
    chance: float
    n: int
    k: int
    test: RatioTest


@dataclass(frozen=True, slots=True)
class ClutchRatios:
    """What came out of a clutch beside what was foretold.

    Parameters
    ----------
    whole : RatioTest
        By whole looks, as `Answers.odds` names them; those hardly foretold are one row.
    genes : tuple of GeneRatio
        Gene by gene, in the order of the species file.
    """

    whole: RatioTest
    genes: tuple[GeneRatio, ...]


def clutch_ratios(answers: Answers, clutch_id: str) -> ClutchRatios | None:
    """Both tests of a clutch at once.

    Parameters
    ----------
    answers : Answers
        Of the collection.
    clutch_id : str
        Clutch id.

    Returns
    -------
    ClutchRatios or None
        None where no young was looked at, or where a parent is not on record.

    Notes
    -----
    The parents are what all other records make them: what is recorded of the young of this clutch, and of all that
    descends from them, is left out. Candidate sires have the weights of the records and matings.
    """
    clutch = ClutchLooks.of(answers, clutch_id)
    return None if clutch is None else ClutchRatios(_whole(clutch), _genes(clutch))


def clutch_ratio(answers: Answers, clutch_id: str) -> RatioTest | None:
    """Test of the whole looks of a clutch; see `clutch_ratios`."""
    clutch = ClutchLooks.of(answers, clutch_id)
    return None if clutch is None else _whole(clutch)


def gene_ratios(answers: Answers, clutch_id: str) -> tuple[GeneRatio, ...]:
    """Tests of a clutch gene by gene; empty where `clutch_ratios` is None."""
    clutch = ClutchLooks.of(answers, clutch_id)
    return () if clutch is None else _genes(clutch)


def looks_of_clutch(answers: Answers, clutch_id: str) -> Mapping[str, Part]:
    """Genes of a clutch as the statistics of all clutches count them.

    Parameters
    ----------
    answers : Answers
        Of the collection.
    clutch_id : str
        Clutch id.

    Returns
    -------
    mapping of str to Part
        Trade name to the young with and without the gene, and what was foretold; empty where `clutch_ratios` is None.
    """
    clutch = ClutchLooks.of(answers, clutch_id)
    return {} if clutch is None else {one.name: one.part for one in gene_chances(clutch) if one.part.n}


def _whole(clutch: ClutchLooks) -> RatioTest:
    table = look_table(clutch)
    test = ratio_test(table.foretold, table.came, unseen=table.unseen, slack=ALIKE)
    rest = f"{', '.join(table.others)} or another rare look" if table.others else REST
    looks = tuple(replace(one, look=rest) if one.look == REST else one for one in test.looks)
    return replace(test, looks=looks, said=" ".join([test.said.replace(REST, rest), *table.notes]))


def _genes(clutch: ClutchLooks) -> tuple[GeneRatio, ...]:
    found = []
    for one in gene_chances(clutch):
        n, k = one.part.n, one.part.k
        if n and (k or one.mean >= HARDLY_EVER):
            found.append(GeneRatio(one.name, one.allele, one.mean, n, k, _of_gene(one, unseen=clutch.n_good - n)))
    return tuple(found)


def _of_gene(one: GeneChance, *, unseen: int) -> RatioTest:
    other = f"without {one.name}"
    if len(one.by_sex) > 1:
        return groups_test(one.by_sex, weights=one.weights, look=one.name, other=other, unseen=unseen, slack=ALIKE)
    parts = list(one.by_sex.values())
    return pooled_test(parts, weights=one.weights, look=one.name, other=other, unseen=unseen, slack=ALIKE)
