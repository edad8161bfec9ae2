"""What a cross says beside its numbers: faults, sexes, names, remainders, needed eggs."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

import pytest

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.errors import CrossError
from holdback.heredity.crosses import EggCount, odds, odds_mixture, spread_over_r
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief, Wish
from holdback.species.model import WILD, Pair

AMBER: Pair = ("amber", "amber")
HET: Pair = (WILD, "amber")
EIGHT = EggCount.fixed(8)


def male(**loci: Any) -> GenotypeBelief:
    return parent(Sex.MALE, loci)


def female(**loci: Any) -> GenotypeBelief:
    return parent(Sex.FEMALE, loci)


def parent(sex: Sex, loci: dict[str, Any]) -> GenotypeBelief:
    return GenotypeBelief(sex, {locus: at if isinstance(at, dict) else {at: 1.0} for locus, at in loci.items()})


def wish(sex: Sex = Sex.UNKNOWN, **loci: Pair) -> Wish:
    return Wish("a wish", {locus: frozenset([alleles]) for locus, alleles in loci.items()}, sex)


def wanted(*args: Any, **kwargs: Any) -> Any:
    found = odds(*args, **kwargs).want
    assert found is not None
    return found


def codes(answer: Any) -> set[str]:
    return {caution.code for caution in answer.cautions}


def test_odds__two_of_one_sex(small: Any) -> None:
    with pytest.raises(CrossError, match="CRS-001: both animals are males"):
        odds(male(), male(), small)


def test_odds__all_faults_at_once(small: Any) -> None:
    sire = parent(Sex.MALE, {"nowhere": HET, "sun": (WILD, "amber"), "web": {WILD_PAIR: 0.5}})
    with pytest.raises(CrossError) as raised:
        odds(sire, female(), small, top=0, want=wish(elsewhere=WILD_PAIR), r={"glow": 0.7})
    assert [fault.code for fault in raised.value.faults] == [
        "CRS-002",
        "CRS-003",
        "CRS-004",
        "CRS-008",
        "CRS-002",
        "CRS-009",
    ]


def test_odds_mixture__weights_must_sum_to_one(small: Any) -> None:
    with pytest.raises(CrossError, match="CRS-005"):
        odds_mixture([(0.5, male(), female())], small)


def test_odds__the_female_named_first_is_the_dam(small: Any) -> None:
    glow = dataclasses.replace(male(glow=(WILD, "glow")), phase={"glow": 1.0})
    straight = odds(glow, female(), small, eggs=EIGHT)
    turned = odds(female(), glow, small, eggs=EIGHT)
    assert turned.outcomes == straight.outcomes
    assert "swapped" in codes(turned) - codes(straight)


def test_odds__unknown_sex_is_said(small: Any) -> None:
    answer = odds(parent(Sex.UNKNOWN, {"sun": (WILD, "sun")}), female(), small, eggs=EIGHT)
    assert "sex-unknown" in codes(answer)
    assert answer.listed == 1.0


def test_odds__where_females_have_two_different_chromosomes(small: Any) -> None:
    """In a ZW species a dam with the gene on her W hands it to daughters, 0.9 of them at r = 0.1."""
    zw = dataclasses.replace(small, sex_system="ZW")
    dam = dataclasses.replace(female(glow=(WILD, "glow")), phase={"glow": 1.0})
    found = {(look.sex, look.label): look.per_hatchling for look in odds(male(), dam, zw, eggs=EIGHT).outcomes}
    assert found[Sex.FEMALE, "Glow"] == pytest.approx(0.45)
    assert found[Sex.MALE, "Glow"] == pytest.approx(0.05)


def test_odds__remainder_is_stated(small: Any) -> None:
    sire = male(sun=(WILD, "sun"), twig=(WILD, "twig"), web=(WILD, "web"))
    answer = odds(sire, female(web=(WILD, "web")), small, top=3, eggs=EIGHT)
    assert len(answer.outcomes) == 3
    assert answer.lost == 0.25
    assert answer.listed + answer.unlisted + answer.lost == pytest.approx(1.0)
    assert answer.n_looks == 8


def test_odds__trade_name_only_for_the_whole_combo(small: Any) -> None:
    answer = odds(male(sun=(WILD, "sun"), amber=HET), female(web=(WILD, "web"), amber=HET), small, eggs=EIGHT)
    names = {look.looks: look.trade_name for look in answer.outcomes}
    assert names["Sun", "Web"] == "Hive"
    assert names["Sun", "Web", "Amber"] == ""
    assert names["Sun",] == ""


def test_odds__an_equivalent_keeps_the_name_in_use(build: Any, gene: Any) -> None:
    twin = build(gene("Fawn", locus="fawn"), gene("Buff", locus="fawn", same_as="fawn"))
    species = dataclasses.replace(twin)
    original = species.look
    stands = {"buff": "fawn", WILD: WILD, "fawn": "fawn"}
    object.__setattr__(species, "look", lambda locus, two: original(locus, (stands[two[0]], stands[two[1]])))
    buff = odds(male(fawn=(WILD, "buff")), female(), species, eggs=EIGHT)
    assert {look.label for look in buff.outcomes} == {"normal", "Buff"}
    both = odds(male(fawn=(WILD, "buff")), female(fawn=(WILD, "fawn")), species, eggs=EIGHT)
    assert {look.label: look.probability for look in both.outcomes} == {
        "normal": 0.25,
        "Fawn": 0.5,
        "Super Fawn": 0.25,
    }


def test_odds__white_young_hide_which_pair_and_all_else(small: Any) -> None:
    answer = odds(male(white=(WILD, "mist"), amber=HET), female(white=(WILD, "frost"), amber=HET), small, eggs=EIGHT)
    cloud = next(look for look in answer.outcomes if look.label == "Cloud")
    assert cloud.probability == 0.25
    hidden = {gene.gene: (gene.chance, gene.two_copies) for gene in cloud.hidden}
    assert hidden == {"Mist": (1.0, 0.0), "Frost": (1.0, 0.0), "Amber": (0.75, 0.25)}
    assert "hidden-by-look" in codes(answer)


def test_odds__two_copies_of_a_dominant_stay_hidden(small: Any) -> None:
    answer = odds(male(twig=(WILD, "twig")), female(twig=(WILD, "twig")), small, eggs=EIGHT)
    twig = next(look for look in answer.outcomes if look.label == "Twig")
    assert [(gene.gene, gene.chance) for gene in twig.hidden] == [("Twig", pytest.approx(1 / 3))]


def test_odds__death_after_hatching_is_listed_as_lost(small: Any) -> None:
    answer = odds(male(foam=(WILD, "foam")), female(foam=(WILD, "foam")), small, eggs=EIGHT)
    looks = {look.label: look for look in answer.outcomes}
    assert (answer.lost, answer.lost_after_hatching) == (0.0, 0.25)
    assert (looks["Super Foam"].probability, looks["Super Foam"].per_hatchling) == (0.25, 0.0)
    assert looks["Super Foam"].lost
    assert looks["Foam"].per_hatchling == pytest.approx(2 / 3)
    assert "dies-after-hatching" in codes(answer)


def test_odds__basis_of_a_hidden_gene(small: Any) -> None:
    seen = dataclasses.replace(male(amber=AMBER), basis={"amber": Basis.MEASURED})
    claimed = female(amber={HET: 0.5, WILD_PAIR: 0.5})
    (sure,) = odds(seen, female(), small, eggs=EIGHT).outcomes[0].hidden
    assert (sure.chance, sure.basis, sure.rests_on) == (1.0, Basis.BY_DESCENT, Basis.MEASURED)
    normal = next(look for look in odds(seen, claimed, small, eggs=EIGHT).outcomes if look.label == "normal")
    assert normal.hidden[0].rests_on is Basis.CLAIMED


def test_want__possible_het_never_reaches_ninety(small: Any) -> None:
    dam = female(amber={HET: 2 / 3, WILD_PAIR: 1 / 3})
    found = wanted(male(amber=AMBER), dam, small, want=wish(amber=AMBER), eggs=EIGHT)
    assert found.at_least_one == pytest.approx(0.6640625, abs=1e-12)
    assert found.eggs_for == {"50": 2, "90": None, "95": None, "99": None}
    assert found.possible == pytest.approx(2 / 3)
    assert found.either_or == "If the dam carries Amber (2 in 3), 5 eggs give 95 %; if not, none will do."
    assert [(fact.parent, fact.gene) for fact in found.turns_on] == [("dam", "Amber")]


def test_want__a_limit_that_is_only_approached_is_not_reached(small: Any) -> None:
    dam = female(amber={HET: 0.5, WILD_PAIR: 0.5})
    assert wanted(male(amber=AMBER), dam, small, want=wish(amber=AMBER), eggs=EIGHT).eggs_for["50"] is None
    sure = female(amber={AMBER: 0.5, WILD_PAIR: 0.5})
    assert wanted(male(amber=AMBER), sure, small, want=wish(amber=AMBER), eggs=EIGHT).eggs_for["50"] == 1


def test_want__both_parents_in_doubt(small: Any) -> None:
    doubt = {HET: 2 / 3, WILD_PAIR: 1 / 3}
    found = wanted(male(amber=doubt), female(amber=doubt), small, want=wish(amber=AMBER), eggs=EIGHT)
    assert found.at_least_one == pytest.approx(4 / 9 * (1 - 0.75**8), abs=1e-12)
    assert {fact.parent for fact in found.turns_on} == {"sire", "dam"}
    assert found.either_or.count("carries Amber (2 in 3)") == 2


def test_want__impossible(small: Any) -> None:
    found = wanted(male(), female(), small, want=wish(amber=AMBER), eggs=EIGHT)
    assert (found.per_egg, found.at_least_one, found.possible, found.either_or) == (0.0, 0.0, 0.0, "")
    assert set(found.eggs_for.values()) == {None}
    assert set(found.clutches_for.values()) == {None}


def test_want__hatchlings_have_outlived_what_kills_in_the_egg(small: Any) -> None:
    webs = (male(web=(WILD, "web")), female(web=(WILD, "web")), small)
    target = wish(web=(WILD, "web"))
    found = wanted(*webs, want=target, eggs=EggCount.fixed(3))
    assert (found.per_egg, found.per_hatchling) == (0.5, pytest.approx(2 / 3))
    assert found.at_least_one == pytest.approx(1 - 0.5**3)
    living = wanted(*webs, want=target, eggs=EggCount.hatchlings(3))
    assert living.at_least_one == pytest.approx(1 - (1 / 3) ** 3)


def test_want__eggs_count_the_hatch_rate_and_clutches_their_size(small: Any) -> None:
    eggs = EggCount.fixed(4, 0.5)
    found = wanted(male(sun=(WILD, "sun")), female(), small, want=wish(sun=(WILD, "sun")), eggs=eggs)
    assert found.eggs_for["95"] == 11  # as for q = 1/4
    assert found.clutches_for["95"] == 3  # 11 eggs of 4 a clutch
    assert found.at_least["2"] == pytest.approx(1 - 0.75**4 - 4 * 0.25 * 0.75**3)
    assert found.eggs_for_each_sex["95"] == 28


def test_want__a_sex_halves_the_chance(small: Any) -> None:
    pair_ = (male(sun=(WILD, "sun")), female(), small)
    assert wanted(*pair_, want=wish(Sex.FEMALE, sun=(WILD, "sun")), eggs=EIGHT).per_egg == 0.25
    assert wanted(*pair_, want=wish(Sex.FEMALE, sun=(WILD, "sun")), eggs=EIGHT).one_of_each_sex == 0.0


def test_want__doubtful_sires_share_the_clutch(small: Any) -> None:
    """A clutch has one sire: half of the clutches hold none, whatever their size."""
    pairs = [(0.5, male(amber=AMBER), female(amber=HET)), (0.5, male(), female(amber=HET))]
    found = odds_mixture(pairs, small, want=wish(amber=AMBER), eggs=EIGHT)
    assert found.want is not None
    assert found.want.per_egg == 0.25
    assert found.want.at_least_one == pytest.approx(0.5 * (1 - 0.5**8))
    assert found.want.eggs_for["90"] is None


def test_spread_over_r__low_value_high(small: Any) -> None:
    sire = dataclasses.replace(male(glow=(WILD, "glow")), phase={"glow": 1.0})
    spread = spread_over_r(sire, female(), small, wish(Sex.MALE, glow=(WILD, "glow")))
    assert spread == {"glow": pytest.approx((0.475, 0.45, 0.4))}
    assert spread_over_r(male(sun=(WILD, "sun")), female(), small, wish()) == {}


def test_odds__many_loci_in_doubt_stay_quick_and_sum_to_one(build: Any, gene: Any) -> None:
    species = build(*(gene(f"G{index}") for index in range(24)))
    doubt = {f"g{index}": {(WILD, f"g{index}"): 0.37, WILD_PAIR: 0.63} for index in range(24)}
    answer = odds(parent(Sex.MALE, doubt), parent(Sex.FEMALE, doubt), species, top=5, eggs=EIGHT)
    assert answer.n_looks == 3**24
    assert answer.exact
    assert answer.listed + answer.unlisted == pytest.approx(1.0)
    target = Wish("all", {locus: frozenset([(WILD, locus)]) for locus in list(doubt)[:14]})
    found = odds(parent(Sex.MALE, doubt), parent(Sex.FEMALE, {}), species, want=target, eggs=EIGHT)
    assert found.want is not None
    assert found.want.at_least_one == pytest.approx(0.37**14 * (1 - (1 - 0.5**14) ** 8), rel=1e-9)


def test_want__very_many_states_are_rounded_and_said_so(build: Any, gene: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    species = build(*(gene(f"G{index}") for index in range(6)))
    shares = (0.11, 0.23, 0.37, 0.41, 0.59, 0.71)
    doubt = {f"g{i}": {(WILD, f"g{i}"): x, (f"g{i}",) * 2: 1 - x} for i, x in enumerate(shares)}
    target = Wish("all", {locus: frozenset([(WILD, locus), (locus, locus)]) for locus in doubt})
    parents = (parent(Sex.MALE, doubt), parent(Sex.FEMALE, {"g0": {(WILD, "g0"): 0.3, WILD_PAIR: 0.7}}), species)
    full = odds(*parents, want=target, eggs=EIGHT)
    monkeypatch.setattr("holdback.heredity.crosses.wanted._MOST_STATES", 4)
    rounded = odds(*parents, want=target, eggs=EIGHT)
    assert full.exact
    assert not rounded.exact
    assert "seven figures" in rounded.assumptions[-1]
    assert full.want is not None
    assert rounded.want is not None
    assert rounded.want.at_least_one == pytest.approx(full.want.at_least_one, rel=1e-7)


def test_as_json__keys_scripts_rely_on(small: Any) -> None:
    answer = odds(male(amber=AMBER), female(amber=HET), small, want=wish(amber=AMBER), eggs=EIGHT)
    plain = json.loads(json.dumps(answer.as_json(small)))
    assert {"outcomes", "listed", "lost", "want", "cautions", "exact"} <= plain.keys()
    assert {"looks", "label", "probability", "hidden"} <= plain["outcomes"][0].keys()
    assert {"gene", "chance"} <= plain["outcomes"][0]["hidden"][0].keys()
    assert {"per_egg", "per_hatchling", "at_least_one", "eggs_for"} <= plain["want"].keys()
    assert list(plain["want"]["eggs_for"]) == ["50", "90", "95", "99"]
