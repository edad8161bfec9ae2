"""Shares by segments and kinship of played pedigrees against the exact laws of `descent`."""

from __future__ import annotations

import numpy as np
import pytest
from tests.decisions.herd import herd
from tests.decisions.rehearsal.plans import ANY, HET, VIS, at_hand, bred, gene, kind, plan, step

from holdback.decisions.goal import Target
from holdback.decisions.rehearsal import rehearse
from holdback.decisions.rehearsal.line_bits import masks, share_of
from holdback.decisions.rehearsal.luck import run_words
from holdback.decisions.steps import Plan
from holdback.decisions.stock import Stock
from holdback.descent.genome import GenomeMap
from holdback.descent.pedigree import Pedigree
from holdback.descent.share_distribution import ShareDistribution, share_distribution
from holdback.descent.shares import LineFounder
from holdback.species.catalogue import load

GENOME = GenomeMap.from_catalogue(load())
SURE = GENOME.scaled(1.0)
ENCHI, PASTEL = gene("enchi", 1, is_hidden=False), gene("pastel", 1, is_hidden=False)


def _law(parents: dict[str, tuple[str | None, str | None]], of_line: str, asked: str) -> ShareDistribution:
    pedigree = Pedigree.from_parents(parents)
    founders = {
        node: LineFounder(float(name == of_line), float(name == of_line))
        for name, node in pedigree.index.items()
        if parents[name] == (None, None)
    }
    return share_distribution(pedigree, founders, SURE, pedigree.index[asked])


FIRE = gene("fire", 1, is_hidden=False)


def _backcross() -> tuple[Stock, Plan]:
    """The goal shows what only a young of m0 and f0 can hand on, and what only f1 has."""
    genes = ("enchi", "pastel", "fire")
    stock = herd(males=[(2, 0, 0)], females=[(0, 2, 0), (0, 0, 2)], genes=genes, line="Ember", shares=[1.0, 0.0, 0.0])
    first = step(0, at_hand((VIS, ANY, ANY), "m0"), at_hand((ANY, VIS, ANY), "f0"), kind(HET, HET, ANY))
    goal = step(1, bred((HET, HET, ANY), 0), at_hand((ANY, ANY, VIS), "f1"), kind(HET, HET, HET))
    return stock, plan(Target((ENCHI, PASTEL, FIRE), line="Ember"), first, goal)


def test_rehearse__true_shares_of_a_backcross() -> None:
    founders: dict[str, tuple[str | None, str | None]] = dict.fromkeys(("m0", "f0", "f1"), (None, None))
    exact = _law({**founders, "F1": ("m0", "f0"), "B": ("F1", "f1")}, "m0", "B")
    played = rehearse(*_backcross(), runs=10_000, seasons=20, seed=1, genome=SURE)
    assert played.true_share is not None
    assert played.share is not None
    assert (played.share.low, played.share.high) == (0.25, 0.25)
    _assert_law(played.true_share.mean, played.true_share.se * np.sqrt(played.runs), exact)
    assert (played.true_share.low, played.true_share.high) == pytest.approx(exact.interval(0.9), abs=0.02)


def test_rehearse__true_shares_of_sibs_young() -> None:
    genes = ("clown", "piebald")
    stock = herd(males=[(2, 0)], females=[(0, 2)], genes=genes, line="Ember", shares=[1.0, 0.0])
    first = step(0, at_hand((VIS, ANY), "m0"), at_hand((ANY, VIS), "f0"), kind(HET, HET))
    goal = step(1, bred((HET, HET), 0), bred((HET, HET), 0), kind(VIS, VIS))
    target = Target(tuple(gene(name) for name in genes), line="Ember")
    played = rehearse(stock, plan(target, first, goal), runs=10_000, seasons=24, seed=1, genome=SURE)
    parents: dict[str, tuple[str | None, str | None]] = dict.fromkeys(("m0", "f0"), (None, None))
    exact = _law({**parents, "S": ("m0", "f0"), "D": ("m0", "f0"), "K": ("S", "D")}, "m0", "K")
    assert played.true_share is not None
    reached = played.runs * played.reached_by_season[-1].mean
    _assert_law(played.true_share.mean, played.true_share.se * np.sqrt(reached), exact)
    assert played.inbreeding is not None
    assert played.inbreeding.low == played.inbreeding.high == 0.25


def _assert_law(mean: float, sd: float, exact: ShareDistribution) -> None:
    """Within sampling error of 10,000 draws; 64 markers a chromosome blur the spread by less than 1 in 100."""
    assert mean == pytest.approx(exact.mean, abs=4 * exact.sd / 100)
    assert sd == pytest.approx(exact.sd, rel=0.04)


@pytest.mark.parametrize("share", [0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 1.0])
def test_rehearse__animals_at_hand_have_their_share_on_the_mean(share: float) -> None:
    stock = herd(males=[(2,)], females=[(0,)], genes=("enchi",), line="Ember", shares=[share, 0.0])
    only = step(0, at_hand((VIS,), "m0"), at_hand((ANY,), "f0"), kind(HET))
    played = rehearse(stock, plan(Target((ENCHI,), line="Ember"), only), runs=2500, seasons=8, seed=2, genome=SURE)
    if share == 0.0:
        assert played.true_share is None
        return
    assert played.true_share is not None
    assert played.true_share.mean == pytest.approx(share / 2, abs=4 * played.true_share.se + 1e-12)


def test_masks__two_markers_part_as_by_haldane() -> None:
    """Markers d Morgan apart are of different haplotypes with (1 - exp(-2 d)) / 2 (Haldane 1919)."""
    lengths = np.array([0.4, 1.0, 2.5])
    found = masks(run_words(3, 0, 40_000), lengths)
    for chromosome, length in enumerate(lengths.tolist()):
        first, later = (found[:, chromosome] >> np.uint64(place) & np.uint64(1) for place in (0, 32))
        exact = 0.5 * -np.expm1(-2.0 * length * 32 / 64)
        assert (first != later).mean() == pytest.approx(exact, abs=4 * 0.5 / 200)
        assert first.mean() == pytest.approx(0.5, abs=4 * 0.5 / 200)


def test_share_of__counts_markers_by_the_size_of_their_chromosomes() -> None:
    bits = np.array([[[0xFFFFFFFFFFFFFFFF, 0], [0xFFFFFFFF, 0]]], np.uint64)
    assert share_of(bits, np.array([0.75, 0.25])).tolist() == [0.75 / 2 + 0.25 / 4]
