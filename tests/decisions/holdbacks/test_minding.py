from __future__ import annotations

from tests.decisions.herd import herd
from tests.decisions.holdbacks.exact import EXACT, candidate, project, table

from holdback.decisions.holdbacks import HoldBacks, Keeping, hold_backs
from holdback.species.catalogue import load


def _sibs(tubs: int = 2, *flags: str) -> HoldBacks:
    stock = herd(
        males=[["het"], ["het"]],
        females=[["het"], ["het"]],
        genes=["clown"],
        kinship={("m1", "f1"): 0.3125, ("m0", "f1"): 0.125},
    )
    young = [candidate(stock, "m1"), candidate(stock, "f1", flags=flags)]
    tools = table(lambda sexes: 0.4 * ("m1" in sexes) + 0.4 * ("f1" in sexes))
    return hold_backs(stock, young, [project(("clown", 2))], keeping=Keeping(tubs), tools=tools, catalogue=load())


def test_minding__sibs_of_one_clutch() -> None:
    (mind,) = _sibs().mind
    assert mind.head == "Both come from one clutch: F1 and M1" or mind.head == "Both come from one clutch: M1 and F1"
    assert mind.text.startswith(
        "Paired with each other their young would be inbred 31.2 %; the limit is 12.5 %. The plan pairs"
    )


def test_minding__a_gene_with_a_burden() -> None:
    found = _sibs(2, "One copy of Spider: it will sway its head.")
    assert found.mind[-1].head == "F1 carries a burden"
    assert found.mind[-1].text in found.hatchlings[[row.animal for row in found.hatchlings].index("f1")].reasons


def test_minding__names_the_mate_of_the_plan() -> None:
    stock = herd(
        males=[["vis"], ["het"]],
        females=[["66"], ["het"]],
        genes=["clown"],
        kinship={("m1", "f1"): 0.25, ("m0", "f1"): 0.125},
    )
    young = [candidate(stock, "m1"), candidate(stock, "f1")]
    wish = project(("clown", 2), by=6)
    found = hold_backs(stock, young, [wish], keeping=Keeping(2), tools=EXACT, catalogue=load())
    assert found.kept == ("f1",)
    assert found.mind == ()


def test_minding__one_sex_only() -> None:
    stock = herd(males=[["-"], ["het"], ["66"]], females=[["-"]], genes=["clown"])
    young = [candidate(stock, "m1"), candidate(stock, "m2", clutch="26-02")]
    tools = table(lambda sexes: 0.2 * len(sexes))
    found = hold_backs(stock, young, [project(("clown", 2))], keeping=Keeping(2), tools=tools, catalogue=load())
    assert [mind.head for mind in found.mind] == ["All kept are males"]
