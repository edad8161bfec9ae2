"""Share of a line and ways of keeping: what is left of the information, and what would bring it back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from holdback.size.confounding import design, designs
from holdback.size.connectedness import connected_parts, share_class
from holdback.size.separating import best_swap
from holdback.size.share_information import information_left

Herd = list[tuple[float, str, float]]

herds = st.lists(
    st.tuples(st.sampled_from([0.0, 0.25, 0.5, 1.0]), st.sampled_from(["A", "B", "C", ""]), st.floats(0.1, 4.0)),
    min_size=2,
    max_size=20,
)


def columns(herd: Herd) -> tuple[list[float], list[str], list[float]]:
    return [one[0] for one in herd], [one[1] for one in herd], [one[2] for one in herd]


@given(herds, st.randoms())
def test_information_left__names_and_order_change_nothing(herd: Herd, random: st.DataObject) -> None:
    shares, levels, weights = columns(herd)
    mixed = list(herd)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    renamed = {"A": "z", "B": "an attic", "C": "k", "": ""}
    other_shares, other_levels, other_weights = columns(mixed)
    for level_sd in (0.15, float("inf")):
        plain = information_left(shares, [levels], weights=weights, level_sd=level_sd)
        other = information_left(
            other_shares, [[renamed[one] for one in other_levels]], weights=other_weights, level_sd=level_sd
        )
        assert other == pytest.approx(plain, abs=1e-9)


@given(herds, st.integers(1, 5))
def test_information_left__a_level_without_spread_changes_nothing_that_is_left(herd: Herd, n: int) -> None:
    """Animals of one share in a room of their own add to the total only."""
    shares, levels, weights = columns(herd)
    more = information_left([*shares, *[0.5] * n], [[*levels, *["D"] * n]], weights=[*weights, *[1.0] * n])
    before = information_left(shares, [levels], weights=weights) * squares(shares, weights)
    after = more * squares([*shares, *[0.5] * n], [*weights, *[1.0] * n])
    assert after == pytest.approx(before, abs=1e-6)


def squares(shares: list[float], weights: list[float]) -> float:
    return float(np.array(weights) @ (np.array(shares) - np.average(shares, weights=weights)) ** 2)


@given(herds)
def test_information_left__levels_of_little_spread_take_little_away(herd: Herd) -> None:
    shares, levels, weights = columns(herd)
    free, some, none = (
        information_left(shares, [levels], weights=weights, level_sd=one) for one in (float("inf"), 0.15, 1e-6)
    )
    assert free <= some + 1e-9
    assert some <= none + 1e-9
    assert none == pytest.approx(1.0 if np.ptp(shares) else 0.0, abs=1e-6)


def test_information_left__by_hand() -> None:
    """Room A holds 0, 1 and room B holds 1, 1: within rooms 1/2, in all 3/4."""
    assert information_left([0, 1, 1, 1], [["A", "A", "B", "B"]]) == pytest.approx(2 / 3)
    assert information_left([0, 1, 1, 1], [["A", "A", "B", ""]]) == pytest.approx(2 / 3)
    assert information_left([0, 1, 1, 1], [["", "", "", ""]]) == 0.0
    assert information_left([0, 1], [["A", "A"]], weights=[0.0, 0.0]) == 0.0


def test_information_left__two_factors_may_hide_it_together() -> None:
    """Neither room nor year hides the line, both together do: share is room plus year."""
    shares = [0.0, 0.5, 0.5, 1.0]
    room, year = ["A", "A", "B", "B"], ["2020", "2021", "2020", "2021"]
    assert information_left(shares, [room]) == pytest.approx(0.5)
    assert information_left(shares, [year]) == pytest.approx(0.5)
    assert information_left(shares, [room, year]) == 0.0


def test_design__a_line_in_a_room_of_its_own() -> None:
    """Within rooms 0.25 of 1.5; of the 1.25 between them 0.0115 / (0.0115 + 2 * 0.15^2) are left, 0.0115 being the
    variance 0.16^2 (1/4 + 1/5) of a difference of rooms that is due to their animals. One swapped: 1.3 within rooms."""
    found = design([1, 1, 0.5, 0.5, 0, 0, 0, 0, 0], [*["attic"] * 4, *["cellar"] * 5], "room")
    assert found.levels == (("cellar", 5, 0.0), ("attic", 4, 0.75))
    assert found.is_connected
    assert found.information_left == pytest.approx(0.25 / (2.5 - 9 * (1 / 3) ** 2))
    assert found.said == (
        "If the rooms may differ by anything, 17 % of what sizes can tell of the line is left, and 34 % if they differ "
        "by about 15 % of mass (assumed)."
    )
    assert found.advice[0] == (
        "Had 1 animal with the most of the line in 'attic' and 1 with the least of it in 'cellar' grown up in each "
        "other's place, 87 % would be left (now 17 %): place the next young so, after quarantine."
    )
    assert "All young of one clutch expect the same share" in found.advice[1]


def test_design__nothing_left() -> None:
    found = design([1, 1, 0, 0], ["B", "B", "A", "A"], "keeper")
    assert (found.is_connected, found.information_left) == (False, 0.0)
    assert found.said.startswith(
        "No keeper holds animals of different shares, so the line cannot be told from the keepers"
    )
    assert "with one keeper" in found.advice[-1]


@pytest.mark.parametrize(
    "shares, levels, words",
    [
        ([], [], "All animals that were weighed have the same share"),
        ([0.5, 0.5], ["A", "B"], "All animals that were weighed have the same share"),
        ([0.0, 1.0], ["", ""], "The room of no animal is known"),
        ([0.0, 1.0], ["A", "A"], "There is one room only"),
        ([0.0, 1.0, 1.0], ["A", "A", ""], "; 1 animals whose room is not known tell nothing of it"),
    ],
)
def test_design__words_at_the_ends(shares: list[float], levels: list[str], words: str) -> None:
    found = design(shares, levels, "room")
    assert words in found.said
    assert not found.advice or found.information_left < 0.6


def test_design__advice_by_factor() -> None:
    shares, levels = [1, 1, 0, 0], ["b", "b", "a", "a"]
    (year,) = design(shares, levels, "year of hatching").advice
    assert "in the same season" in year
    (sex,) = design(shares, levels, "sex").advice
    assert "both sexes" in sex


def test_designs__each_and_all_together() -> None:
    shares = [0.0, 0.5, 0.5, 1.0]
    room, year, both = designs(
        shares, {"room": ["A", "A", "B", "B"], "year of hatching": ["2020", "2021", "2020", "2021"]}
    )
    assert (room.factor, year.factor, both.factor) == ("room", "year of hatching", "room and year of hatching")
    assert (room.is_connected, both.is_connected) == (True, False)
    assert both.said == "Rooms and years of hatching together leave 0 % of what sizes can tell of the line."
    assert len(both.levels) == 4
    assert len(designs(shares, {"room": ["A", "A", "B", "B"]})) == 1


def test_best_swap__is_the_best_of_all_swaps_of_one() -> None:
    """Two rooms of two: every swap tried by hand."""
    shares, levels = [1.0, 0.75, 0.25, 0.0], ["B", "B", "A", "A"]
    found = best_swap(shares, levels)
    assert found is not None
    assert (found.first, found.second, found.n_animals) == ("B", "A", 1)
    assert found.left_then == pytest.approx(information_left(shares, [["A", "B", "A", "B"]]))
    assert found.left_then > found.left_now == pytest.approx(0.1)


def test_best_swap__none_where_no_swap_tells_more() -> None:
    assert best_swap([0.0, 1.0, 0.0, 1.0], ["A", "A", "B", "B"]) is None
    assert best_swap([0.0, 1.0], ["A", "A"]) is None


@given(herds)
def test_best_swap__never_proposes_a_loss(herd: Herd) -> None:
    shares, levels, weights = columns(herd)
    found = best_swap(shares, levels, weights=weights)
    assert found is None or found.left_then > found.left_now


def test_connected_parts__joined_by_one_animal() -> None:
    line = ["1", "1", "0", "0"]
    assert [one.n_animals for one in connected_parts(line, ["Ann", "Ann", "Bo", "Bo"])] == [2, 2]
    assert [one.n_animals for one in connected_parts([*line, "1"], ["Ann", "Ann", "Bo", "Bo", "Bo"])] == [5]
    apart = connected_parts(["1", "0", "0"], ["Ann", "Bo", "Bo"], ["2020", "2021", "2022"])
    assert [one.cells for one in apart] == [(("0", "Bo", "2021"), ("0", "Bo", "2022")), (("1", "Ann", "2020"),)]


@pytest.mark.parametrize("share, name", [(0.0, "0"), (0.06, "0"), (0.13, "1/8"), (0.5, "1/2"), (0.95, "1")])
def test_share_class__nearest_eighth(share: float, name: str) -> None:
    assert share_class(share) == name
