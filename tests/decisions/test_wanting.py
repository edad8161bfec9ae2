"""Goals read into targets, and what is said of those that cannot be had."""

from __future__ import annotations

from dataclasses import replace

import pytest

from holdback.collection.model import Sex
from holdback.decisions.goal import Budget, Goal, SizeAim, SizeWish
from holdback.decisions.wanting import goal_gene, targets_of
from holdback.errors import DecisionError
from holdback.species.catalogue import load


def asked(want: str, **more: object) -> list[dict[str, int]]:
    """Copies by gene of each target."""
    goal = replace(Goal("Harbour", want), **more)  # type: ignore[arg-type]
    return [{gene.name: gene.copies for gene in target.genes} for target in targets_of(goal, load())]


def faults(goal: Goal, **more: object) -> list[str]:
    with pytest.raises(DecisionError) as error:
        targets_of(goal, load(), **more)  # type: ignore[arg-type]
    return [fault.code for fault in error.value.faults]


@pytest.mark.parametrize(
    "want,genes",
    [
        ("Clown Enchi", {"Clown": 2, "Enchi": 1}),
        ("het Clown", {"Clown": 1}),
        ("Super Enchi", {"Enchi": 2}),
        ("Ivory", {"Yellow Belly": 2}),
        ("Lesser Mojave", {"Lesser": 1, "Mojave": 1}),
        ("Lesser Butter", {"Lesser": 2}),
        ("Clown no Spider", {"Clown": 2, "Spider": 0}),
    ],
)
def test_targets_of__copies(want: str, genes: dict[str, int]) -> None:
    assert asked(want) == [genes]


def test_targets_of__what_shows_and_what_tells_two() -> None:
    (target,) = targets_of(Goal("Harbour", "female het Clown Enchi Pinstripe"), load())
    said = {gene.name: (gene.is_hidden, gene.tells_two) for gene in target.genes}
    assert said == {"Clown": (True, True), "Enchi": (False, True), "Pinstripe": (False, False)}
    assert target.sex is Sex.FEMALE
    assert target.loci == ("clown", "enchi", "pinstripe")


def test_targets_of__names_held_to_be_one_gene_stand_together() -> None:
    (target,) = targets_of(Goal("Harbour", "Butter"), load())
    assert target.genes[0].alleles == {"butter", "lesser"}
    assert target.genes[0].name == "Butter"


def test_targets_of__a_choice_is_one_target_each() -> None:
    found = asked("Clown", some_of=("Enchi", "Pastel", "Fire"), some_least=2, none_of="Spider")
    assert [sorted(genes) for genes in found] == [
        ["Clown", "Enchi", "Pastel", "Spider"],
        ["Clown", "Enchi", "Fire", "Spider"],
        ["Clown", "Fire", "Pastel", "Spider"],
    ]
    assert all(genes["Spider"] == 0 for genes in found)


def test_targets_of__choices_that_cannot_be_are_left_out() -> None:
    found = asked("Lesser Mojave", some_of=("Russo", "Enchi"), some_least=1)
    assert found == [{"Lesser": 1, "Mojave": 1, "Enchi": 1}]
    assert faults(Goal("Harbour", "Lesser Mojave", some_of=("Russo",), some_least=1)) == ["DEC-005"]


def test_targets_of__line_as_the_records_write_it() -> None:
    goal = Goal("Harbour", "", line="saltmarsh", share_at_least=0.5)
    (target,) = targets_of(goal, load(), lines=("Saltmarsh", "Ember"))
    assert (target.line, target.share, target.genes) == ("Saltmarsh", 0.5, ())


@pytest.mark.parametrize(
    "goal,code",
    [
        (Goal("Harbour", "Clownx"), "DEC-001"),
        (Goal("Harbour", "66% het Clown"), "DEC-002"),
        (Goal("Harbour", "Lesser Mojave Russo"), "DEC-002"),
        (Goal("Harbour", " "), "DEC-003"),
        (Goal("Harbour", "Clown", none_of="het Clown"), "DEC-004"),
        (Goal("Harbour", "Butter", none_of="Lesser"), "DEC-004"),
        (Goal("Harbour", "female Clown", some_of=("male Enchi",), some_least=1), "DEC-004"),
        (Goal("Harbour", "Super Lesser Mojave"), "DEC-002"),
        (Goal("Harbour", "Super Lesser", some_of=("Mojave",), some_least=1), "DEC-005"),
        (Goal("Harbour", "Super Spider"), "DEC-006"),
        (Goal("Harbour", "Spider Champagne"), "DEC-007"),
        (Goal("Harbour", "Clown", line="Ember", share_at_least=1.5), "DEC-008"),
        (Goal("Harbour", "Clown", share_at_least=0.5), "DEC-009"),
        (Goal("Harbour", "Clown", line="Nowhere", share_at_least=0.5), "DEC-009"),
        (Goal("Harbour", "Clown", by=2026), "DEC-010"),
        (Goal("Harbour", "Clown", number=0), "DEC-011"),
        (Goal("Harbour", "Clown", inbreeding_at_most=-0.1), "DEC-012"),
        (Goal("Harbour", "Clown", size=SizeWish(SizeAim.BAND, 2000.0, 1500.0)), "DEC-013"),
        (Goal("Harbour", "Clown", budget=Budget(eggs=0)), "DEC-014"),
        (Goal("Harbour", "", some_of=("Enchi",) * 12, some_least=6), "DEC-015"),
        (Goal("Harbour", "Clown", some_of=("Enchi",), some_least=2), "DEC-016"),
        (Goal("Harbour", "Clown", none_of="Super Enchi"), "DEC-017"),
        (Goal("Harbour", "Clown", worth_eggs=-1.0), "DEC-018"),
    ],
)
def test_targets_of__says_what_cannot_be_had(goal: Goal, code: str) -> None:
    assert faults(goal, lines=("Ember",), this_season=2027) == [code]


def test_targets_of__says_all_faults_at_once_and_what_to_do() -> None:
    goal = Goal("Harbour", "Clownx", number=0, by=2020)
    with pytest.raises(DecisionError) as error:
        targets_of(goal, load(), this_season=2027)
    assert [(fault.code, fault.hint) for fault in error.value.faults] == [
        ("DEC-001", "Did you mean Clown?"),
        ("DEC-010", "Give 2027 or later, or no year."),
        ("DEC-011", "Ask for one or more."),
    ]


def test_goal_gene__says_of_which_two_copies_are_lethal() -> None:
    """Two copies of Hidden Gene Woma are lethal by the species file, those of Pastel are not."""
    catalogue = load()
    assert goal_gene("hidden-gene-woma", 1, catalogue).two_die
    assert not goal_gene("pastel", 2, catalogue).two_die
