"""The words that come with a cross."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.heredity.crosses import EggCount, Odds, odds
from holdback.heredity.genotype import WILD_PAIR, GenotypeBelief
from holdback.species.model import WILD, Mark, Pair, PairingCaution, Together


def cross(species: Any, sire: dict[str, Any], dam: dict[str, Any], **more: Any) -> Odds:
    def belief(sex: Sex, loci: dict[str, Any]) -> GenotypeBelief:
        return GenotypeBelief(
            sex, {locus: at if isinstance(at, dict) else {at: 1.0} for locus, at in loci.items()}, **more
        )

    return odds(belief(Sex.MALE, sire), belief(Sex.FEMALE, dam), species, eggs=EggCount.fixed(6))


def said(answer: Odds, code: str) -> list[tuple[str, str]]:
    return [(caution.level, caution.message) for caution in answer.cautions if caution.code == code]


def one(locus: str) -> Pair:
    return (WILD, locus)


def test_cautions__gravest_first(small: Any) -> None:
    answer = cross(small, {"web": one("web"), "sun": one("sun")}, {"web": one("web")})
    levels = [caution.level for caution in answer.cautions]
    assert levels == sorted(levels, key=("stop", "think", "note").index)
    assert said(answer, "web-web")[0][0] == "stop"
    assert "1 in 4 eggs will die before hatching" in said(answer, "dies-in-egg")[0][1]
    assert said(answer, "welfare-neurological") == [("think", "Web: Tilts. (Your own.)")]


def test_cautions__a_pairing_in_doubt_says_how_likely(small: Any) -> None:
    answer = cross(small, {"web": one("web")}, {"web": {one("web"): 0.5, WILD_PAIR: 0.5}})
    assert "Applies with a chance of 1 in 2" in said(answer, "web-web")[0][1]
    assert not said(cross(small, {"web": one("web")}, {}), "web-web")


def test_cautions__what_only_a_slip_of_the_records_could_bring_is_not_warned_of(small: Any) -> None:
    slip = {one("web"): 0.0002, WILD_PAIR: 0.9998}
    answer = cross(small, {"web": one("web")}, {"web": slip})
    assert not said(answer, "web-web")
    assert not said(answer, "dies-in-egg"), "1 in 4 of 1 in 5,000 eggs"
    assert said(answer, "welfare-neurological"), "the sire shows it"
    sure = {one("web"): 0.9998, WILD_PAIR: 0.0002}
    assert "Applies with" not in said(cross(small, {"web": one("web")}, {"web": sure}), "web-web")[0][1]


def test_cautions__a_pairing_may_be_met_either_way_round(small: Any) -> None:
    """Two sides at one half each in both parents: 7/16 either way round, 1/4 one way only."""
    doubt = {locus: {one(locus): 0.5, WILD_PAIR: 0.5} for locus in ("sun", "twig")}
    rule = PairingCaution("sun-twig", "think", ("sun",), ("twig",), "Sun with Twig.", Mark.OWN)
    for dam_only, chance in ((False, "7 in 16"), (True, "1 in 4")):
        species = dataclasses.replace(small, pairing_cautions=(dataclasses.replace(rule, dam_only=dam_only),))
        assert f"Applies with a chance of {chance}" in said(cross(species, doubt, doubt), "sun-twig")[0][1]


def test_cautions__deadly_together(small: Any) -> None:
    ((level, message),) = said(cross(small, {"web": one("web")}, {"foam": one("foam")}), "harm-together")
    assert level == "stop"
    assert message.startswith("Web with Foam: Not viable.")
    mild = dataclasses.replace(small, together=(Together(("web", "foam"), 0.0, "", "Weak.", Mark.OWN),))
    answer = cross(mild, {"web": one("web")}, {"foam": one("foam")})
    assert said(answer, "harm-together")[0][0] == "think"
    assert answer.lost == 0.0


def test_cautions__lines_are_never_merged(small: Any) -> None:
    answer = cross(small, {"ash": ("ash", "ash")}, {"soot": ("soot", "soot")})
    assert "Ash and Soot look alike and are treated as different genes" in said(answer, "lines-apart")[0][1]
    assert [look.label for look in answer.outcomes] == ["normal"]
    assert not said(cross(small, {"ash": ("ash", "ash")}, {"ash": one("ash")}), "lines-apart")


def test_cautions__sex_link_by_which_parent_gives_it(small: Any) -> None:
    by_sire = cross(small, {"glow": one("glow")}, {})
    assert "10% (5% to 20%)" in said(by_sire, "sex-linked")[0][1]
    assert said(by_sire, "sex-link-phase")[0][0] == "think"
    assert not by_sire.by_sex
    known = cross(small, {"glow": one("glow")}, {}, phase={"glow": 1.0})
    assert known.by_sex
    assert not said(known, "sex-link-phase")
    by_dam = cross(small, {}, {"glow": one("glow")})
    assert "sons that get it here will hand it mostly to daughters" in said(by_dam, "sex-linked")[0][1]


@pytest.mark.parametrize(
    "sire, dam, code, part",
    [
        ({"sun": one("sun"), "web": one("web")}, {}, "independent", "inherited independently"),
        ({"sun": one("sun"), "amber": one("amber")}, {}, "linked", "Amber and Sun are linked"),
        ({"foam": one("foam")}, {}, "hard-to-see", "Hard to tell by eye: Foam"),
        ({"sun": one("sun")}, {}, "claims", "What is said of the sire is used as it stands, unproven here: Sun"),
    ],
)
def test_cautions__what_is_taken_on_trust(small: Any, sire: Any, dam: Any, code: str, part: str) -> None:
    assert part in said(cross(small, sire, dam), code)[0][1]


def test_cautions__measured_genes_are_no_claims(small: Any) -> None:
    answer = cross(small, {"sun": one("sun")}, {}, basis={"sun": Basis.MEASURED})
    assert not said(answer, "claims")
    assert not said(answer, "independent")


def test_cautions__from_memory(build: Any, gene: Any) -> None:
    answer = cross(build(gene("Rumour", mark=Mark.MEMORY)), {"rumour": one("rumour")}, {})
    assert "from memory, unchecked: Rumour" in said(answer, "from-memory")[0][1]
