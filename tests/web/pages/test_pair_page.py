"""The pair page: the same numbers as the engine, and uncertainty in the sentence."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from holdback.web.records.models import Animal

Read = Callable[..., str]


def test_pair__asks_for_two(read: Read) -> None:
    assert "Name two animals" in read("/pair/")


def test_pair__gives_looks_and_odds(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/pair/", sire="22-05", dam="22-11")
    assert "Ledger 22-05 with Umber 22-11" in text
    assert "8 looks are listed, the rest together fewer than 1 in 1,000 eggs; exact" in text
    assert re.search(r"Umber 22-11 may carry Clown, about \d in \d", text)
    assert "by all records of the collection: its own, its kin's and its young's" in text
    listed = [float(part) for part in re.findall(r"eggs ([\d.]+) % Clown: every one carries it", text)]
    shown = [float(part) for part in re.findall(r"eggs ([\d.]+) % Nothing known stays hidden", text)]
    # Pastel, Enchi and Clown are inherited apart: 1 in 2, 1 in 2, and half of her chance to carry it.
    assert len(listed) == len(shown) == 4
    assert max(listed) - min(listed) < 1
    assert sum(listed) + sum(shown) == pytest.approx(100, abs=0.5)


def test_pair__mixes_over_what_the_dam_may_carry(read: Read, barn: dict[str, Animal]) -> None:
    # Whether she carries it holds for all her eggs: at least one in 7 is p (1 - 2^-7) with p twice the chance an egg.
    text = read("/pair/", sire="22-05", dam="22-11", want="Clown", eggs="7")
    per_egg = re.search(r"In one egg about \d+ in \d+ ([\d.]+) % by descent", text)
    at_least_one = re.search(r"At least one about \d+ in \d+ ([\d.]+) % by descent", text)
    assert per_egg
    assert at_least_one
    assert float(at_least_one[1]) == pytest.approx(2 * float(per_egg[1]) * (1 - 2**-7), abs=0.2)
    assert "none will do" in text
    assert "If the dam carries Clown" in text


def test_pair__of_kin_says_so(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/pair/", sire="22-05", dam="22-11")
    assert "inbred Both go back to Quill 17-02" in text, "Quill is his dam and her granddam"
    assert "inbred Both go back" not in read("/pair/", sire="23-03", dam="22-11")


def test_pair__of_typed_genes_gives_the_published_value(read: Read) -> None:
    # 66 % het with a visual, 8 eggs: 2/3 (1 - 2^-8) = 0.6641, worked by hand.
    text = read("/pair/", sire="66% het Clown", dam="Clown", want="Clown", eggs="8")
    assert "66.4 %" in text
    assert "as typed" in text


def test_pair__may_be_named_by_name(read: Read, barn: dict[str, Animal]) -> None:
    assert "Harrow 20-07 with Quill 17-02" in read("/pair/", sire="Harrow", dam="Quill")


def test_pair__tells_what_stays_hidden(read: Read) -> None:
    text = read("/pair/", sire="Clown", dam="normal")
    assert "Clown every one carries it 100 % het" in text


def test_pair__puts_what_stops_first(read: Read) -> None:
    text = read("/pair/", sire="Spider", dam="Spider")
    assert "Stop" in text
    assert text.index("Stop") < text.index("The two")


@pytest.mark.parametrize(
    "asked,said",
    [
        ({"sire": "22-11", "dam": "22-05"}, "22-11 is female"),
        ({"sire": "22-05", "dam": "Blurple"}, "Blurple"),
        ({"sire": "22-05", "dam": "22-11", "eggs": "some"}, "'some' is no number of eggs"),
        ({"sire": "22-05", "dam": "22-11", "want": "Flurble"}, "Flurble"),
    ],
)
def test_pair__says_what_cannot_be_used(read: Read, barn: dict[str, Animal], asked: dict[str, str], said: str) -> None:
    text = read("/pair/", **asked)
    assert said in text
    assert "The two" not in text


def test_pair__offers_animals_without_a_script(read: Read, barn: dict[str, Animal]) -> None:
    text = read("/pair/", sire="Ledg", dam="22-11")
    assert "Ledger 22-05 male" in text


def test_choices__offer_only_the_fitting_sex(read: Read, barn: dict[str, Animal]) -> None:
    assert "Umber" in read("/pair/choices/", side="dam", dam="22-1")
    assert "Umber" not in read("/pair/choices/", side="sire", sire="22-1")


def test_choices__read_genes_back(read: Read) -> None:
    assert "Read as genes: Pastel, one copy" in read("/pair/choices/", side="sire", sire="Pastel")


def test_choices__say_when_nothing_fits(read: Read) -> None:
    assert "No female here is called that" in read("/pair/choices/", side="dam", dam="zzz")
