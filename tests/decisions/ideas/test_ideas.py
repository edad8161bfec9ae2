"""Ideas by look. Scores are worked by hand from the weights of the species file; first ideas are common practice."""

from __future__ import annotations

import math

import pytest

from holdback.collection.model import Sex
from holdback.decisions.ideas import Idea, Ideas, Only, PossibleMate, ideas
from holdback.decisions.ideas.phrases import of_young
from holdback.errors import DecisionError
from holdback.heredity.crosses import EggCount
from holdback.heredity.genotype import GenotypeBelief
from holdback.heredity.shorthand import read
from holdback.species import Catalogue, load

BALL = load()
_BELL = {n: math.exp(-((n - 6.83) ** 2) / (2 * 2.0**2)) for n in range(1, 16)}
PLAIN = EggCount(tuple((n, chance / sum(_BELL.values())) for n, chance in _BELL.items()), ((0.81, 1.0),))
"""The clutch that worked figures of decisions count on: a normal law on whole eggs, its hatch rate taken as known."""


def belief(text: str, catalogue: Catalogue = BALL) -> GenotypeBelief:
    return read(text, catalogue).belief(catalogue)


def ask(text: str, **asked: object) -> Ideas:
    return ideas(belief(text), BALL, **asked)  # type: ignore[arg-type]


def names(found: Ideas) -> list[list[str]]:
    return [[gene.name for gene in idea.genes] for idea in found.ideas]


def flat(found: Ideas) -> set[str]:
    return {name for group in names(found) for name in group}


def of(found: Ideas, name: str) -> Idea:
    return next(idea for idea in found.ideas if name in {gene.name for gene in idea.genes})


def mate(name: str, text: str, *, kinship: float | None = None, is_proven: bool | None = None) -> PossibleMate:
    return PossibleMate(name, name, belief(text), kinship, is_proven)


def test_ideas__hidden_gene_woma_as_breeders_have_it() -> None:
    """Pastel, Yellow Belly, Orange Dream, Fire and the way to Inferno; never itself."""
    found = ask("Hidden Gene Woma")
    assert {"Pastel", "Yellow Belly", "Orange Dream", "Fire", "Enchi", "Banana", "Lesser"} <= flat(found)
    assert [each.name for each in of(found, "Pastel").combos] == ["Inferno"]
    assert of(found, "Pastel").combos[0].lacks == ("Yellow Belly",)
    assert of(found, "Lesser").aim == "are Soul Sucker"
    assert not {"Hidden Gene Woma", "Champagne", "Spider", "Woma"} & flat(found)
    never = {each.name: each for each in found.never}
    assert never["Hidden Gene Woma"].codes == ()
    assert set(never["Champagne"].codes) == {"champagne-hgw", "welfare-neurological", "second-neurological"}
    assert set(never["Spider"].codes) == {"welfare-neurological", "second-neurological"}
    assert any("Balance trouble" in each.message or "balance trouble" in each.message for each in found.cautions)


def test_ideas__scores_by_hand() -> None:
    """Bands want brightness 3; Soul Sucker lacks nothing: 3 / 1; Inferno lacks a gene: 3 / 2; Yellow Belly is hard."""
    found = ask("Hidden Gene Woma", most=50)
    expected = {
        "Lesser": 3 + 3,
        "Pastel": 3 + 1.5,
        "Fire": 3,
        "Yellow Belly": 1.5 + 1.5,
        "Disco": 1.5,
        "Enhancer": 3 - 2,
    }
    assert {name: of(found, name).score for name in expected} == expected
    assert [idea.score for idea in found.ideas] == sorted((idea.score for idea in found.ideas), reverse=True)


def test_ideas__ties_are_one_idea_the_commonest_first() -> None:
    group = of(ask("Hidden Gene Woma"), "Fire")
    assert [gene.name for gene in group.genes][:2] == ["Banana", "Enchi"]
    assert {"Fire", "Orange Dream"} <= {gene.name for gene in group.genes}
    assert group.label == "Any gene that brings brighter colour"
    assert group.aim == "show both Hidden Gene Woma and the new gene"


def test_ideas__cinnamon_wants_pewter_then_contrast_then_brightness() -> None:
    found = ask("Cinnamon")
    assert names(found)[0] == ["Pastel"]
    assert names(found)[1] == ["GHI"]
    assert "Fire" in names(found)[2]
    ruled = next(each for each in found.never if each.name == "Black Pastel")
    assert ruled.codes == ("eightball-two",)
    assert "duckbill" in ruled.reasons[0]


def test_ideas__a_cautioned_pairing_is_given_with_its_word_when_allowed() -> None:
    found = ask("Cinnamon", allow={"eightball-two"}, most=50)
    eightball = of(ask("Pastel Cinnamon", allow={"eightball-two"}), "Black Pastel")
    assert of(found, "Pastel").cautions == ()
    assert "kinks" in eightball.cautions[0]
    assert "Cinnamon" not in flat(found)  # 8-Ball and its like cost as much as they are worth: 3 - 3


def test_ideas__white_young_are_told() -> None:
    found = ask("Lesser")
    white = of(found, "Mojave")
    assert white.consequences == ("A quarter of the young will be Blue-eyed Lucy, which hides every other gene.",)
    assert white.aim == "are Blue-eyed Lucy"
    assert white.score == 3 - 2
    assert {"Pastel", "Orange Dream", "Fire", "Enchi", "Banana", "Pinstripe"} <= flat(found)
    assert of(found, "Pinstripe").aim == "are Kingpin"


@pytest.mark.parametrize("text, share", [("Clown", 1.0), ("het Clown", 0.5)])
def test_ideas__the_same_recessive_comes_first(text: str, share: float) -> None:
    found = ask(text)
    assert names(found)[0] == ["Clown"]
    assert found.ideas[0].is_same_recessive
    assert found.ideas[0].per_hatchling == pytest.approx(share, abs=1e-12)


def test_ideas__a_recessive_shows_a_generation_later() -> None:
    found = ask("Clown")
    assert names(found)[1] == ["Banana"]
    banana = found.ideas[1]
    assert banana.consequences == ("Young only carry Clown; visuals come a generation later.",)
    assert (banana.aim, banana.is_seen, banana.generations) == ("show Banana and carry Clown", False, 2)
    assert [(each.name, each.lacks, each.generations) for each in banana.combos] == [("Banana Clown", (), 2)]
    killer = of(found, "Pastel").combos[0]
    assert (killer.name, killer.lacks, killer.generations) == ("Killer Clown", ("a second Pastel",), 2)


def test_ideas__piebald_takes_orange_and_leopard() -> None:
    found = ask("Piebald")
    assert names(found)[0] == ["Piebald"]
    assert {"Banana", "Enchi", "Orange Dream", "Leopard"} <= {name for group in names(found)[:4] for name in group}
    assert next(each for each in found.never if each.name == "Lesser").codes == ("lesser-piebald",)


def test_ideas__spider_is_cautioned_before_any_idea() -> None:
    found = ask("Spider")
    assert found.cautions[0].code == "wobble"
    final = {each.name for each in found.never if not each.codes}
    assert final == {"Spider", "Champagne"}
    assert {"Hidden Gene Woma", "Woma", "Sable"} <= {each.name for each in found.never}
    assert [group[0] for group in names(found)[:2]] == ["Pastel", "Pinstripe"]
    assert of(found, "Pastel").aim == "are Bumblebee"


def test_ideas__what_kills_is_never_allowed() -> None:
    every = {code for each in ask("Spider").never for code in each.codes} | {"spider-spider", "spider-champagne"}
    found = ask("Spider", allow=every, most=50)
    assert {each.name for each in found.never} == {"Spider", "Champagne"}
    assert not {"Spider", "Champagne"} & flat(found)


def test_ideas__no_welfare_flag_is_brought_unless_allowed() -> None:
    assert "Hidden Gene Woma" not in flat(ask("Lesser", most=50))
    allowed = of(ask("Lesser", allow={"welfare-neurological"}, most=50), "Hidden Gene Woma")
    assert allowed.aim == "are Soul Sucker"
    assert "Balance trouble" in allowed.cautions[0]
    assert allowed.score == 3


def test_ideas__a_desert_female_is_not_bred_from() -> None:
    found = ask("female Desert")
    assert found.ideas == ()
    assert found.cautions[0].level == "stop"
    assert any("should not be bred from" in note for note in found.notes)
    assert ask("male Desert").ideas


def test_ideas__desert_is_brought_by_a_male_only() -> None:
    codes = next(each for each in ask("male Cinnamon").never if each.name == "Desert").codes
    assert "desert-female" in codes
    codes = next(each for each in ask("female Cinnamon").never if each.name == "Desert").codes
    assert codes == ("welfare-female-fertility",)


def test_ideas__first_clutch_is_the_chance_of_a_laid_clutch() -> None:
    """At least one at q = 1/4 in a laid clutch: .764353, a worked figure of decisions for this clutch."""
    found = ideas(belief("Cinnamon"), BALL, eggs=PLAIN)
    assert of(found, "Pastel").per_hatchling == pytest.approx(0.25, abs=1e-12)
    assert of(found, "Pastel").first_clutch == pytest.approx(0.764353, abs=5e-7)


def test_ideas__a_possible_carrier_is_mixed_over_not_averaged() -> None:
    """A 66 % het with a visual: 2/3 of the chance at q = 1/2, not the chance at q = 1/3."""
    found = ideas(belief("66% het Clown"), BALL, eggs=PLAIN)
    half = 1 - 0.048693  # G(1/2) of the same worked figures
    assert found.ideas[0].per_hatchling == pytest.approx(1 / 3, abs=1e-9)
    assert found.ideas[0].first_clutch == pytest.approx(2 / 3 * half, abs=1e-6)
    assert any("may carry Clown (67%)" in note for note in found.notes)


def test_ideas__who_has_it_unrelated_first_then_proven_then_sure() -> None:
    hand = [
        mate("Kin", "male Pastel", kinship=0.25, is_proven=True),
        mate("Young", "male Pastel", kinship=0.0),
        mate("Proven", "male Pastel", kinship=0.0, is_proven=True),
        mate("Sister", "female Pastel"),
        mate("Bee", "male Pastel Spider"),
        mate("Plain", "male"),
    ]
    found = ideas(belief("female Cinnamon"), BALL, hand=hand)
    holders = of(found, "Pastel").genes[0].at_hand
    assert [each.name for each in holders] == ["Proven", "Young", "Kin"]
    assert holders[0].first_clutch == pytest.approx(of(found, "Pastel").first_clutch)
    assert holders[2].kinship == 0.25
    assert holders[0].facts == ("shows it", "unrelated by the records", "proven")
    assert holders[2].facts == (
        "shows it",
        "close kin, better another mate: their young would be inbred 25.0%",
        "proven",
    )
    (left_out,) = found.left_out
    assert left_out[0] == "Bee"
    assert left_out[1].startswith("It has Spider. Inner ear malformed")


def test_ideas__a_mate_that_may_have_what_kills_is_not_named() -> None:
    doubtful = GenotypeBelief(
        Sex.MALE, {"spider": {("+", "spider"): 0.05, ("+", "+"): 0.95}, "pastel": {("+", "pastel"): 1.0}}
    )
    found = ideas(belief("female Spider"), BALL, hand=[PossibleMate("D", "Dusk", doubtful)])
    assert found.left_out[0][1].startswith("It may have Spider. It has Spider itself")
    assert of(found, "Pastel").genes[0].at_hand == ()


def test_ideas__a_caution_that_hangs_on_a_chance_says_so() -> None:
    reasons = next(each for each in ask("50% het Pied").never if each.name == "Lesser").reasons
    assert "It has what this would meet with a chance of 50%." in reasons[0]


def test_ideas__a_mate_is_counted_as_it_is() -> None:
    hand = [mate("Twice", "male Super Pastel"), mate("Perhaps", "male 50% het Clown")]
    found = ideas(belief("female Cinnamon"), BALL, hand=hand)
    assert of(found, "Pastel").genes[0].at_hand[0].per_hatchling == pytest.approx(0.5)
    clown = ideas(belief("female Clown"), BALL, hand=hand, eggs=PLAIN).ideas[0].genes[0].at_hand[0]
    assert clown.chance == pytest.approx(0.5)
    assert clown.shows == 0.0
    assert clown.first_clutch == pytest.approx(0.5 * (1 - 0.048693), abs=1e-6)


def test_ideas__only_what_is_at_hand_or_on_offer() -> None:
    hand, offered = [mate("Ember", "male Fire")], [mate("1", "male GHI")]
    at_hand = ideas(belief("female Cinnamon"), BALL, hand=hand, offered=offered, only=Only.AT_HAND)
    assert names(at_hand) == [["Fire"]]
    assert at_hand.ideas[0].aim == "show both Cinnamon and Fire"
    assert names(ideas(belief("female Cinnamon"), BALL, hand=hand, offered=offered, only=Only.OFFERED)) == [["GHI"]]
    nobody = ideas(belief("female Cinnamon"), BALL, only=Only.AT_HAND)
    assert nobody.ideas == ()
    assert "Nobody at hand has a gene that any idea brings." in nobody.notes


def test_ideas__ties_put_what_is_at_hand_first() -> None:
    found = ideas(belief("female Hidden Gene Woma"), BALL, hand=[mate("Ember", "male Fire")])
    assert [gene.name for gene in of(found, "Fire").genes][:3] == ["Fire", "Banana", "Enchi"]


def test_ideas__equal_ideas_put_what_is_at_hand_first() -> None:
    assert names(ask("Piebald"))[1] == ["Banana"]
    found = ideas(belief("female Piebald"), BALL, hand=[mate("Dapple", "male Leopard"), mate("Marl", "male Enchi")])
    assert {group[0] for group in names(found)[1:3]} == {"Enchi", "Leopard"}
    hand = [mate("Kin", "male Enchi", kinship=0.25), mate("Far", "male Leopard", kinship=0.0)]
    found = ideas(belief("female Piebald"), BALL, hand=hand)
    assert [group[0] for group in names(found)[1:3]] == ["Leopard", "Enchi"]


def test_ideas__names_held_to_be_the_same_count_as_one() -> None:
    found = ask("Butter", most=50)
    assert next(each for each in found.never if each.name == "Lesser").codes == ("lesser-two",)
    assert "Butter" not in flat(found)
    assert found.carried[0].name == "Butter"
    assert of(ask("Butter Spider"), "Pastel").combos  # Queen Bee is a name with Lesser


def test_ideas__a_normal_animal_gets_none_and_is_told_why() -> None:
    found = ask("normal")
    assert found.ideas == ()
    assert "no named gene" in found.notes[0]


def test_ideas__what_is_known_already_is_no_idea() -> None:
    """A Pewter that meets Pastel again can give Sterling, not Pewter."""
    reached = {each.name for each in of(ask("Pastel Cinnamon"), "Pastel").combos}
    assert "Sterling" in reached
    assert "Pewter" not in reached


def test_ideas__two_copies_that_harm_are_no_aim() -> None:
    reached = {each.name for idea in ask("Cinnamon", most=50).ideas for each in idea.combos}
    assert "Silver Bullet" not in reached  # two copies of Cinnamon: duckbill and kinks
    allowed = ask("Cinnamon", allow={"welfare-kinking"}, most=50)
    assert "Silver Bullet" in {each.name for idea in allowed.ideas for each in idea.combos}


def test_ideas__another_species_is_never_a_crash() -> None:
    corn = load("pantherophis_guttatus")
    for allele in corn.alleles.values():
        found = ideas(belief(allele.name, corn), corn)
        assert any("not known for this species" in note for note in found.notes)


def test_ideas__every_gene_of_the_catalogue_gets_an_answer() -> None:
    for allele in (each for each in BALL.alleles.values() if each.tags):
        found = ideas(GenotypeBelief(Sex.UNKNOWN, {allele.locus: {("+", allele.key): 1.0}}), BALL, most=3)
        brought = {gene.allele for idea in found.ideas for gene in idea.genes}
        assert not brought & {each.allele for each in found.never}
        assert all(0.0 < idea.first_clutch <= 1.0 for idea in found.ideas)
        assert all(idea.why or idea.combos or idea.consequences for idea in found.ideas)


@pytest.mark.parametrize("most", [0, 51])
def test_ideas__a_number_that_cannot_be(most: int) -> None:
    with pytest.raises(DecisionError, match="DEC-110") as caught:
        ask("Pastel", most=most)
    assert caught.value.faults[0].what == f"{most} ideas cannot be given."


def test_ideas__a_caution_that_is_none() -> None:
    with pytest.raises(DecisionError, match="DEC-113") as caught:
        ask("Pastel", allow={"wobbel"})
    assert "wobble" in caught.value.faults[0].hint


def test_as_json__plain_values() -> None:
    found = ideas(belief("female Cinnamon"), BALL, hand=[mate("Ember", "male Fire", kinship=0.0)]).as_json()
    assert found["ideas"][0]["genes"][0]["gene"] == "Pastel"
    assert found["ideas"][0]["combos"][0] == {
        "name": "Pewter",
        "lacks": [],
        "generations": 1,
        "mark": "common practice, no source",
    }
    fire = next(gene for idea in found["ideas"] for gene in idea["genes"] if gene["gene"] == "Fire")
    assert fire["at_hand"][0]["inbreeding"] == 0.0


def test_ideas__a_possible_het_with_a_visual_as_worked_elsewhere() -> None:
    """66 % dam with a visual male, laying chance .7, one try: .4439, a worked figure; a plug-in would say .6010."""
    found = ideas(belief("female 66% het Clown"), BALL, hand=[mate("Visual", "male Clown")], eggs=PLAIN)
    assert 0.7 * found.ideas[0].genes[0].at_hand[0].first_clutch == pytest.approx(0.4439, abs=5e-5)


def test_ideas__mates_change_no_reason_and_no_score() -> None:
    hand = [mate("Ember", "male Fire"), mate("Bee", "male Spider"), mate("Tawny", "male Pastel het Clown")]
    told = _scores(ask("female Cinnamon"))
    for mates in (hand, hand[::-1]):
        assert _scores(ideas(belief("female Cinnamon"), BALL, hand=mates)) == told


def _scores(found: Ideas) -> dict[str, tuple[float, tuple[str, ...]]]:
    return {each.label: (each.score, each.why) for each in found.ideas}


def test_ideas__white_hides_what_else_the_animal_carries() -> None:
    found = ask("Super Mojave")
    assert "Blue-eyed Lucy hides every other gene: what else it carries is known from its parents only." in found.notes
    assert of(found, "Lesser").consequences[0].startswith("Half the young will be Blue-eyed Lucy")
    assert of(found, "Mystic").consequences == (
        "Mojave and Mystic are genes of one place: an animal with both hands one or the other to each young.",
    )


def test_ideas__an_animal_that_carries_what_harms_together() -> None:
    said = {each.code: each.message for each in ask("Spider Sable").cautions}
    assert "strong balance trouble" in said["harm-together"]


def test_ideas__chances_of_a_mate_in_words() -> None:
    hand = [
        mate("Far", "male Pastel", kinship=1 / 64, is_proven=True),
        mate("Perhaps", "male 75% Pastel"),
        PossibleMate("Young", "Young", belief("male het Clown"), 0.0, is_proven=False, hatched="2025"),
    ]
    found = ideas(belief("female Cinnamon"), BALL, hand=hand)
    far, perhaps = of(found, "Pastel").genes[0].at_hand
    assert far.facts == ("shows it", "hardly related", "proven")
    assert perhaps.facts == ("has it with a chance of 75%",)
    young = ideas(belief("female Clown"), BALL, hand=hand).ideas[0].genes[0].at_hand[0]
    assert young.facts == ("carries it", "unrelated by the records", "no young on record", "hatched 2025")
    assert (
        of(found, "Pastel").chance_sentence
        == "A quarter of the young are Pewter: 76% for at least one in a laid clutch."
    )


@pytest.mark.parametrize(
    "chance, words",
    [(0.25, "a quarter of the young"), (0.497, "about half the young"), (0.995, "about 199 in 200 of the young")],
)
def test_of_young__plain_words_near_plain_shares(chance: float, words: str) -> None:
    assert of_young(chance) == words
