"""What has to be spoken for before a goal is planned or a pair is made."""

from __future__ import annotations

import pytest
from tests.decisions.herd import herd

from holdback.decisions.goal import Goal
from holdback.decisions.welfare import PairWelfare, unspoken, welfare_of
from holdback.species.catalogue import load


def codes(sire: str, dam: str) -> list[str]:
    stock = herd(males=[sire], females=[dam])
    return [caution.code for caution in PairWelfare(stock, load()).of_pair("m0", "f0")]


@pytest.mark.parametrize(
    "want,found",
    [
        ("Clown Enchi", []),
        ("Hidden Gene Woma Pastel", ["welfare-neurological:hidden-gene-woma"]),
        ("Lesser", []),
        ("Super Lesser", ["welfare-eyes:lesser"]),
        ("het Caramel Albino", []),
        ("Caramel Albino", ["welfare-kinking:caramel-albino", "welfare-female-fertility:caramel-albino"]),
        ("Clown no Spider", []),
    ],
)
def test_welfare_of__as_wished(want: str, found: list[str]) -> None:
    assert [caution.code for caution in welfare_of(Goal("Harbour", want), load())] == found


def test_welfare_of__harm_together() -> None:
    found = welfare_of(Goal("Harbour", "Sable Spider"), load())
    assert "harm-together:sable+spider" in [caution.code for caution in found]


def test_welfare_of__every_choice_counts() -> None:
    goal = Goal("Harbour", "Clown", some_of=("Enchi", "Woma"), some_least=1)
    assert [caution.code for caution in welfare_of(goal, load())] == ["welfare-neurological:woma"]


def test_unspoken__by_whole_code_or_by_kind() -> None:
    goal = Goal("Harbour", "Spider")
    cautions = welfare_of(goal, load())
    assert unspoken(cautions, goal) == cautions
    for code in ("welfare-neurological:spider", "welfare-neurological"):
        assert not unspoken(cautions, Goal("Harbour", "Spider", accepted=frozenset({code})))
    other = Goal("Harbour", "Spider", accepted=frozenset({"welfare-neurological:woma"}))
    assert unspoken(cautions, other) == cautions


def test_of_pair__what_young_may_carry() -> None:
    assert codes("Enchi", "Clown") == []
    assert codes("Spider", "normal") == ["welfare-neurological:spider", "wobble"]
    assert "spider-spider" in codes("Spider", "Spider Pastel")
    assert "dies:spider" in codes("Spider", "Spider Pastel")
    assert codes("Lesser", "Mojave") == []
    assert "welfare-eyes:lesser" in codes("Lesser", "Butter")
    assert "spider-champagne" in codes("Spider", "Champagne")


def test_of_pair__only_the_dam_matters() -> None:
    assert "desert-female" in codes("normal", "Desert")
    assert "desert-female" not in codes("Desert", "normal")


def test_of_pair__doubt_is_said() -> None:
    stock = herd(males=["Caramel Albino"], females=["50% het Caramel Albino"])
    found = PairWelfare(stock, load()).of_pair("m0", "f0")
    rule = next(caution for caution in found if caution.code == "caramel-two")
    assert "Not sure that it applies" in rule.message
