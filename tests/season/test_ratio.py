"""Tests of ratios: small results by hand, brute force over all results, and what is said."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from holdback.errors import SeasonError
from holdback.season.outlook import RatioTest
from holdback.season.ratio import REST, Part, binomial_law, pooled_test, ratio_test, young_needed
from holdback.season.ratio_words import said_of, times_in

HALVES = {"normal": 0.5, "Pastel": 0.5}


def reference_p_value(states: list[tuple[float, list[float]]], counts: list[int]) -> float:
    """p value by listing every result in turn."""
    n = sum(counts)

    def chance(result: tuple[int, ...]) -> float:
        ways = math.factorial(n) / math.prod(math.factorial(count) for count in result)
        each = [w * math.prod(p**count for p, count in zip(ps, result, strict=True)) for w, ps in states]
        return ways * sum(each)

    results = [one for one in itertools.product(range(n + 1), repeat=len(counts)) if sum(one) == n]
    limit = chance(tuple(counts)) * (1 + 1e-7)
    return sum(found for one in results if (found := chance(one)) <= limit)


def test_ratio_test__nine_of_ten_at_one_half() -> None:
    """By hand: (1 + 10) * 2 of 1024 results are no likelier than nine of ten."""
    found = ratio_test(HALVES, {"Pastel": 9, "normal": 1})
    assert found.p_value == pytest.approx(22 / 1024, abs=1e-12)
    assert found.is_exact
    assert found.standard_error == 0
    assert "9 of 10 Pastel, where about 5 were foretold" in found.said
    assert "2 in 100 times by chance alone" in found.said


@pytest.mark.parametrize("counts", [[0, 0, 4], [1, 2, 1], [4, 0, 0], [2, 2, 2], [0, 5, 2], [3, 3, 0]], ids=str)
def test_ratio_test__equals_every_result_listed(counts: list[int]) -> None:
    chances = [0.5, 0.3, 0.2]
    looks = ["a", "b", "c"]
    found = ratio_test(dict(zip(looks, chances, strict=True)), dict(zip(looks, counts, strict=True)))
    assert found.p_value == pytest.approx(reference_p_value([(1.0, chances)], counts), abs=1e-12)


@pytest.mark.parametrize("counts", [[6, 0], [5, 1], [0, 6], [3, 3]], ids=str)
def test_ratio_test__mixes_over_what_the_parents_may_be(counts: list[int]) -> None:
    """Both het with 4 in 9: one in four shows it, or none at all; the mean chance is used nowhere."""
    states = [(4 / 9, {"normal": 0.75, "Clown": 0.25}), (5 / 9, {"normal": 1.0})]
    found = ratio_test(states, {"normal": counts[0], "Clown": counts[1]})
    expected = reference_p_value([(4 / 9, [0.75, 0.25]), (5 / 9, [1.0, 0.0])], counts)
    assert found.p_value == pytest.approx(expected, abs=1e-12)
    assert found.looks[1].foretold == pytest.approx(1 / 9)


def test_ratio_test__order_of_looks_changes_nothing() -> None:
    there = ratio_test({"a": 0.5, "b": 0.3, "c": 0.2}, {"a": 1, "b": 4, "c": 2})
    back = ratio_test({"c": 0.2, "a": 0.5, "b": 0.3}, {"c": 2, "b": 4, "a": 1})
    assert there.p_value == pytest.approx(back.p_value, abs=1e-12)


def test_ratio_test__drawn_p_value_agrees_with_counting(monkeypatch: pytest.MonkeyPatch) -> None:
    states = [(0.3, {"a": 0.5, "b": 0.3, "c": 0.2}), (0.7, {"a": 0.25, "b": 0.25, "c": 0.5})]
    came = {"a": 2, "b": 5, "c": 1}
    counted = ratio_test(states, came)
    monkeypatch.setattr("holdback.season.ratio.MOST_RESULTS", 1)
    drawn = ratio_test(states, came, seed=4)
    assert counted.is_exact
    assert not drawn.is_exact
    assert drawn.standard_error > 0
    assert abs(drawn.p_value - counted.p_value) < 4 * drawn.standard_error
    assert ratio_test(states, came, seed=4) == drawn


def test_ratio_test__many_looks_and_young_are_drawn() -> None:
    chances = {f"look {number}": 1 / 16 for number in range(16)}
    found = ratio_test(chances, {"look 0": 12})
    assert not found.is_exact
    assert found.p_value < 0.001


def test_ratio_test__look_that_cannot_come() -> None:
    found = ratio_test({"normal": 1.0}, {"normal": 5, "Clown": 1})
    assert found.p_value == 0
    assert found.is_exact
    assert "1 Clown came, and by what is on record that cannot be: one record is wrong" in found.said


def test_ratio_test__listed_look_without_a_chance() -> None:
    assert ratio_test({"normal": 1.0, "Clown": 0.0}, {"Clown": 1}).p_value == 0


def test_ratio_test__looks_not_listed_share_the_rest() -> None:
    found = ratio_test({"normal": 0.5, "Pastel": 0.25}, {"normal": 3, "Clown": 1, "Piebald": 1})
    assert [(one.look, round(one.foretold, 6), one.came) for one in found.looks] == [
        ("normal", 0.5, 3),
        ("Pastel", 0.25, 0),
        (REST, 0.25, 2),
    ]
    assert found.p_value == pytest.approx(reference_p_value([(1.0, [0.5, 0.25, 0.25])], [3, 0, 2]))


def test_ratio_test__nothing_came_yet() -> None:
    found = ratio_test(HALVES, {}, unseen=6)
    assert (found.n, found.p_value, found.unseen) == (0, 1.0, 6)
    assert found.said.startswith("No look is on record yet. 6 eggs have no look on record")


def test_ratio_test__four_eggs_cannot_tell() -> None:
    found = ratio_test(HALVES, {"normal": 4})
    assert found.p_value == pytest.approx(0.125)
    assert "Four young cannot tell: it takes 30" in found.said


@pytest.mark.parametrize(
    "foretold, came, unseen",
    [
        ({"a": 1.2}, {"a": 1}, 0),
        ({"a": -0.1, "b": 1.0}, {"a": 1}, 0),
        ({"a": 0.7, "b": 0.7}, {"a": 1}, 0),
        ({"a": 1.0}, {"a": -1}, 0),
        ({"a": 1.0}, {"a": 1}, -1),
        ([(0.5, {"a": 1.0})], {"a": 1}, 0),
        ([], {"a": 1}, 0),
    ],
)
def test_ratio_test__refuses_what_cannot_be(foretold: dict[str, float], came: dict[str, int], unseen: int) -> None:
    with pytest.raises(SeasonError, match="SEA-181: A foretold chance lies outside 0 to 1"):
        ratio_test(foretold, came, unseen=unseen)


def test_pooled_test__equals_one_binomial_where_all_chances_agree() -> None:
    parts = [Part.sure(4, 3, 0.5), Part.sure(6, 6, 0.5)]
    assert pooled_test(parts).p_value == pytest.approx(22 / 1024, abs=1e-12)


def test_pooled_test__equals_every_result_listed() -> None:
    """Three young with chances 1/2, 1/4 and 1/4."""
    found = pooled_test([Part.sure(1, 1, 0.5), Part.sure(2, 2, 0.25)])
    law = [0.5 * 0.5625, 0.5 * 0.5625 + 0.5 * 0.375, 0.5 * 0.375 + 0.5 * 0.0625, 0.5 * 0.0625]
    assert sum(law) == pytest.approx(1)
    assert found.p_value == pytest.approx(law[3])
    assert found.looks[0].foretold == pytest.approx(1 / 3)


def test_pooled_test__state_of_the_sire_is_shared_by_his_clutches() -> None:
    """A sire who is het or not, at even odds: no young in two clutches is likelier than chances of 1/4 each."""
    both = ((1.0, 0.5),), ((1.0, 0.0),)
    found = pooled_test([Part(3, 0, both), Part(3, 0, both)], weights=(0.5, 0.5))
    none = 0.5 * 0.5**6 + 0.5
    assert found.p_value == pytest.approx(1.0)
    one = pooled_test([Part(3, 3, both), Part(3, 3, both)], weights=(0.5, 0.5))
    assert one.p_value == pytest.approx(0.5 * 0.5**6)
    assert one.looks[0].foretold == pytest.approx(0.25)
    assert none > 0.5


def test_pooled_test__parts_of_their_own_doubt() -> None:
    part = Part(2, 2, (((0.5, 0.5), (0.5, 0.0)),))
    assert pooled_test([part]).p_value == pytest.approx(0.5 * 0.25)


def test_pooled_test__look_that_cannot_come() -> None:
    found = pooled_test([Part.sure(4, 1, 0.0)], look="Clown", other="not Clown")
    assert found.p_value == 0
    assert "cannot be" in found.said


def test_pooled_test__no_young() -> None:
    found = pooled_test([Part.sure(0, 0, 0.5)])
    assert (found.n, found.p_value, found.looks[0].foretold) == (0, 1.0, 0.5)


@pytest.mark.parametrize(
    "part",
    [Part.sure(3, 4, 0.5), Part.sure(3, 1, 1.5), Part(3, 1, (((0.5, 0.5),),)), Part(3, 1, ())],
    ids=["more than looked at", "chance above 1", "probabilities do not sum to 1", "states that do not fit"],
)
def test_pooled_test__refuses_what_cannot_be(part: Part) -> None:
    with pytest.raises(SeasonError, match="SEA-181"):
        pooled_test([part])


@pytest.mark.parametrize("chance", [1.0, 0.75, 0.5, 0.25, 0.125])
def test_young_needed__by_the_test_itself(chance: float) -> None:
    """The least number at which results that the test notices come with four in five."""

    def power(n: int) -> float:
        half = binomial_law(n, chance / 2)
        noticed = [
            k
            for k in range(n + 1)
            if k < n * chance and ratio_test({"a": chance, "b": 1 - chance}, {"a": k, "b": n - k}).p_value <= 0.05
        ]
        return float(half[noticed].sum())

    n = young_needed(chance)
    assert power(n) >= 0.8
    assert all(power(fewer) < 0.8 for fewer in range(max(2, n - 6), n))


def test_young_needed__none_will_do() -> None:
    assert young_needed(0.0) == 0
    assert young_needed(1 / 256) == 0


def test_binomial_law__sums_to_one() -> None:
    for chance in (0.0, 0.3, 1.0):
        assert binomial_law(40, chance).sum() == pytest.approx(1)
    np.testing.assert_allclose(binomial_law(2, 0.25), [0.5625, 0.375, 0.0625], rtol=1e-13)


@pytest.mark.parametrize(
    "chance, words",
    [
        (0.0149, "15 in 1,000 times"),
        (0.015, "2 in 100 times"),
        (0.999, "every time"),
        (0.00012, "1 in 10,000 times"),
        (0.0, "fewer than 1 in 10,000 times"),
    ],
)
def test_times_in(chance: float, words: str) -> None:
    assert times_in(chance) == words


def _said(test: RatioTest) -> str:
    return said_of(test.looks, test.p_value, n=test.n, could_tell=test.could_tell, unseen=test.unseen)


def test_said_of__names_the_number_of_the_look_that_is_too_many() -> None:
    assert _said(ratio_test(HALVES, {"normal": 9, "Pastel": 1})).startswith("9 of 10 normal")


def test_said_of__next_to_impossible_sends_to_the_records() -> None:
    said = _said(ratio_test(HALVES, {"normal": 30, "Pastel": 0}))
    assert "fewer than 1 in 10,000 times" in said
    assert "a parent, a gene of one, or the looks may be wrong" in said


def test_said_of__no_number_would_do() -> None:
    many = {f"look {number}": 1 / 512 for number in range(512)}
    assert "no number up to 1,000 would" in _said(ratio_test(many, {"look 1": 1}))
