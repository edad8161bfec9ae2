"""Carrying genes into a line: shares, sizes, kinship, years, carriers to keep, and where to stop."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.decisions.herd import IndependentGenes, herd, laws

from holdback.collection.model import Sex
from holdback.decisions.backcross_plan import backcross_plan
from holdback.decisions.backcross_result import BackcrossPlan, BackcrossWay, Cross, Handling
from holdback.decisions.goal import Target
from holdback.decisions.stock import Stock
from holdback.decisions.wanting import goal_gene
from holdback.descent.backcross import backcross_table
from holdback.descent.genome import GenomeMap
from holdback.errors import DecisionError
from holdback.heredity.genotype import GenotypeBelief
from holdback.species.catalogue import load

MAP = GenomeMap.equal(18, 1.0)
ENCHI = Target((goal_gene("enchi", 1, load()),))
CLOWN = Target((goal_gene("clown", 2, load()),))
LINE = "Northwold"


def stock(gene: str, level: str, *, dams: int = 4, kinship: dict[tuple[str, str], float] | None = None) -> Stock:
    """m0 brings the gene and is ordinary; m1, m2 and the dams are of the line and 40 % bigger."""
    none = "-" if gene == "clown" else "0"
    made = herd(
        males=[(level,), (none,), (none,)],
        females=[(none,)] * dams,
        genes=(gene,),
        line=LINE,
        shares=[0.0, *([1.0] * (dams + 2))],
        kinship=kinship,
    )
    big = np.array([0.0, *([math.log(1.4)] * (dams + 2))])
    return replace(
        made,
        size_mean=big,
        size_sd=np.full(len(big), 0.05),
        breeding=replace(made.breeding, additive_sd=0.1, environment_sd=0.1),
    )


def plan(made: Stock, target: Target, **more: float) -> BackcrossPlan:
    return backcross_plan(made, target, LINE, genome=MAP, **more)  # type: ignore[arg-type]


def way(made: BackcrossPlan, through: Sex, handling: Handling = Handling.SEEN) -> BackcrossWay:
    return next(one for one in made.ways if one.through is through and one.handling is handling)


def test_backcross_plan__shares_and_ranges_as_in_the_table() -> None:
    found = way(plan(stock("enchi", "2"), ENCHI), Sex.MALE).generations
    table = backcross_table(MAP, generations=4, same_parent=False)
    assert [one.share.mean for one in found] == pytest.approx([row.recurrent_share for row in table])
    widths = [(one.share.high - one.share.mean) / 1.6448536 for one in found[1:3]]
    assert widths == pytest.approx([row.recurrent_sd for row in table[1:3]], rel=1e-6)


def test_backcross_plan__the_gap_in_size_halves() -> None:
    found = way(plan(stock("enchi", "2"), ENCHI), Sex.MALE).generations
    logs = [math.log1p(one.size.mean / 100) for one in found if one.size is not None]
    gaps = [math.log(1.4) - one for one in logs]
    assert gaps == pytest.approx([math.log(1.4) / 2 ** (number + 1) for number in range(5)])


def test_backcross_plan__range_of_size_of_a_first_cross() -> None:
    """Errors of two parents, each halved, what meiosis deals, and what is not passed on."""
    first = way(plan(stock("enchi", "2"), ENCHI), Sex.MALE).generations[0].size
    assert first is not None
    sd = math.sqrt(2 * 0.25 * 0.05**2 + 0.1**2 / 2 + 0.1**2)
    assert math.log1p(first.high / 100) - math.log1p(first.mean / 100) == pytest.approx(1.6448536 * sd)


def test_backcross_plan__years_by_maturity_of_sons_and_daughters() -> None:
    made = plan(stock("enchi", "2"), ENCHI)
    assert [one.year for one in way(made, Sex.MALE).generations] == [2027, 2029, 2031, 2033, 2035]
    assert [one.year for one in way(made, Sex.FEMALE).generations] == [2027, 2031, 2035, 2039, 2043]
    assert made.ways[0].through is Sex.MALE


def test_backcross_plan__carriers_to_keep() -> None:
    """Of a carrier every second young is one: 5 for 95 %, 7 for 99 %; a son that carries is one in four: 11 and 17."""
    back = way(plan(stock("enchi", "2"), ENCHI), Sex.MALE).generations[1]
    assert back.per_hatchling == 0.25
    assert (back.young_95, back.young_99) == (11, 17)
    tested = way(plan(stock("clown", "vis"), CLOWN), Sex.MALE, Handling.TESTED).generations
    assert [one.keep for one in tested[:3]] == [1, 5, 5]
    assert (tested[1].young_95, tested[1].young_99) == (10, 14)


def test_backcross_plan__chance_of_a_season() -> None:
    """A dam that lays with .7, young of the check cases: 1/4 of the young are sons that carry."""
    back = way(plan(stock("enchi", "2"), ENCHI), Sex.MALE).generations[1]
    none = float(np.polynomial.polynomial.polyval(0.75, laws()[1].chances))
    assert back.chance == pytest.approx(0.7 * (1 - none))
    first = way(plan(stock("enchi", "2"), ENCHI), Sex.MALE).generations[0]
    assert back.expected_year == pytest.approx(2029 + 1 / first.chance - 1 + 1 / back.chance - 1)


def test_backcross_plan__other_animals_of_the_line_each_time() -> None:
    found = way(plan(stock("enchi", "2"), ENCHI), Sex.MALE).generations
    assert len({one.dam for one in found[:4]}) == 4
    assert max(one.inbreeding for one in found[:4]) == 0.0


def test_backcross_plan__one_source_shows_its_inbreeding() -> None:
    """One dam bred back to: (1 - 1/2^t) / 2, Falconer & Mackay (1996) table 5.1, from memory."""
    made = plan(stock("enchi", "2", dams=1), ENCHI)
    found = way(made, Sex.MALE).generations
    assert [one.inbreeding for one in found] == pytest.approx([0, 0.25, 0.375, 0.4375, 0.46875])
    assert len(made.sources) == 3


def test_backcross_plan__stops_before_the_limit_on_inbreeding_is_passed() -> None:
    made = stock("enchi", "2", dams=1)
    assert way(plan(made, ENCHI), Sex.MALE).stop == 0
    assert way(plan(made, ENCHI, inbreeding_at_most=0.3), Sex.MALE).stop == 1
    assert way(plan(made, replace(ENCHI, share=0.9)), Sex.MALE).stop == 3
    kept = plan(made, replace(ENCHI, share=0.9), inbreeding_at_most=0.2)
    assert kept.ways[0].through is Sex.FEMALE, "two sires in turns, where sons have one dam"


def test_backcross_plan__akin_sources_are_said_to_be_one() -> None:
    sibs = dict.fromkeys((("m1", "m2"), ("m1", "f0"), ("m2", "f0")), 0.25)
    made = plan(stock("enchi", "2", dams=1, kinship=sibs), ENCHI)
    assert len(made.sources) == 1
    assert any(note.startswith(f"All animals of {LINE} that can be bred back to are akin") for note in made.notes)


def test_backcross_plan__two_sources_take_turns() -> None:
    """Two dams in turns: F of backcross 2 is 1/8, of 3 is 1/8 + 1/16 (kinship worked out by hand)."""
    found = way(plan(stock("enchi", "2", dams=2), ENCHI), Sex.MALE).generations
    assert [one.dam for one in found[:3]] == ["f0", "f1", "f0"]
    assert [one.inbreeding for one in found[:3]] == pytest.approx([0.0, 0.0, 0.125])


def test_backcross_plan__a_recessive_by_young_that_show_it_in_between() -> None:
    found = way(plan(stock("clown", "vis"), CLOWN), Sex.MALE, Handling.INTERCROSS)
    kinds = [one.cross for one in found.generations[:4]]
    assert kinds == [Cross.FIRST, Cross.TOGETHER, Cross.BACK, Cross.TOGETHER]
    assert [one.season for one in found.generations[:4]] == [0, 4, 6, 10]
    assert found.generations[1].per_hatchling == 0.125
    assert found.generations[2].per_hatchling == 0.5
    assert found.last is not None
    assert found.last.share.mean == pytest.approx(found.generations[found.stop].share.mean)
    assert found.last.per_hatchling == 0.25


def test_backcross_plan__a_donor_with_one_copy_mixes_over_its_young() -> None:
    """Both of a pair of possible carriers carry in one of four cases."""
    found = way(plan(stock("clown", "het"), CLOWN), Sex.MALE, Handling.INTERCROSS).generations[1]
    none = float(np.polynomial.polynomial.polyval(1 - 0.125, laws()[1].chances))
    assert found.chance == pytest.approx(0.25 * 0.7 * (1 - none))
    assert found.expected_year is None


def test_backcross_plan__what_kills_in_two_copies_stands_on_one_side_only() -> None:
    """Clown twice is one in four, and Spider from one parent one in two; of two untested ones half carry Clown.

    Possible carriers held back are sons that show Spider: one in four.
    """
    none = ("-", "0")
    made = herd(
        males=[("vis", "1"), none], females=[none, none], genes=("clown", "spider"), line=LINE, shares=[0, 1, 1, 1]
    )
    spider = replace(goal_gene("spider", 1, load()), two_die=True)
    found = plan(made, Target((goal_gene("clown", 2, load()), spider)))
    chances = {(one.handling, one.last.per_hatchling) for one in found.ways if one.last}
    assert chances == {(Handling.INTERCROSS, 0.125), (Handling.TESTED, 0.0625)}
    back = way(found, Sex.MALE, Handling.TESTED).generations[1]
    assert (back.keep, back.young_95, back.per_hatchling) == (5, 20, 0.125)
    assert any("only one of the two may carry what kills" in note for note in found.notes)


def test_backcross_plan__a_possible_carrier_is_said_to_be_one() -> None:
    made = plan(stock("clown", "66"), CLOWN)
    assert made.donor_carries == pytest.approx(2 / 3)
    assert any("67 in 100" in note for note in made.notes)


def test_backcross_plan__stops_at_the_share_wished() -> None:
    made = plan(stock("enchi", "2"), replace(ENCHI, share=0.9, line=LINE))
    assert made.ways[0].goal.share.mean == 0.9375


def test_backcross_plan__stops_where_size_is_not_worth_the_years() -> None:
    """Crosses back add .084, .042, .021, .0105 of ln 1.4; over two years each the third is the last above .01."""
    made = plan(stock("enchi", "2"), ENCHI)
    assert (way(made, Sex.MALE).stop, way(made, Sex.FEMALE).stop) == (3, 2)
    assert (
        way(made, Sex.MALE)
        .notes[-1]
        .startswith("Cross back 4, not planned, adds 3.1 points of the line and +1.4 % of size")
    )


def test_backcross_plan__without_breeding_values_by_share() -> None:
    """Crosses back add 25, 12.5, 6.25 and 3.1 points; below 5 is not worth it."""
    made = stock("enchi", "2")
    found = plan(replace(made, size_mean=np.full(7, np.nan)), ENCHI).ways[0]
    assert found.goal.size is None
    assert found.stop == 3


def test_backcross_plan__faults() -> None:
    made = stock("enchi", "2")
    with pytest.raises(DecisionError, match="DEC-105"):
        plan(made, Target(()))
    with pytest.raises(DecisionError, match=r"DEC-106 .*No animal here brings Clown"):
        plan(made, CLOWN)
    with pytest.raises(DecisionError, match="DEC-107"):
        backcross_plan(made, ENCHI, "Elsewhere", genome=MAP)


def test_backcross_plan__a_donor_that_may_have_one_copy_or_two_is_mixed_over() -> None:
    """Its clutch, its sons, and two of its young that both carry: each for one copy and for two, then averaged."""
    made = stock("clown", "vis")
    locus = CLOWN.genes[0].locus
    het, visual = ("+", "clown"), ("clown", "clown")
    genes = IndependentGenes({**made.genes.beliefs, "m0": GenotypeBelief(Sex.MALE, {locus: {het: 0.5, visual: 0.5}})})  # type: ignore[attr-defined]
    found = way(plan(replace(made, genes=genes), CLOWN), Sex.MALE, Handling.INTERCROSS).generations

    def season(q: float) -> float:
        return 0.7 * (1 - float(np.polynomial.polynomial.polyval(1 - q, laws()[1].chances)))

    assert found[0].chance == pytest.approx((season(0.25) + season(0.5)) / 2)
    assert found[1].chance == pytest.approx((0.25 + 1) / 2 * season(0.125))
