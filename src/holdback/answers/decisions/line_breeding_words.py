"""Sentences on who of a line should breed, for pages and the terminal."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import TYPE_CHECKING

from holdback.collection.model import Sex
from holdback.decisions.kind_words import listed, percent

if TYPE_CHECKING:
    from holdback.answers.decisions.line_breeding import Breeder, LineBreeding

_SHE = {Sex.MALE: "he", Sex.FEMALE: "she"}


def who_breeds(found: LineBreeding, names: Mapping[str, str]) -> str:
    """The clutches in a sentence, male by male."""
    by_sire: dict[str, list[str]] = {}
    for pair in found.pairs:
        by_sire.setdefault(pair.sire, []).append(names.get(pair.dam, pair.dam))
    parts = [f"{names.get(sire, sire)} to {listed(dams)}" for sire, dams in by_sire.items()]
    return f"For {found.year}, put {'; '.join(parts)}."


def what_comes(found: LineBreeding) -> str:
    """Size and kinship of the young in a sentence."""
    near = (
        f"{percent(found.kinship)} akin on average: bred to each other at random, their young would be so much inbred."
    )
    if found.size is None:
        return f"The young are {near} No clutches that are less akin were found."
    return (
        f"By descent the young are {_signed(found.size.mean)} % in size against ordinary animals "
        f"({_signed(found.size.low)} to {_signed(found.size.high)}). They are {near} "
        f"The limit is {percent(found.limit)}."
    )


def _signed(value: float) -> str:
    return f"{value:+.0f}".replace("-", "\N{MINUS SIGN}")


def why_these(found: LineBreeding, names: Mapping[str, str]) -> tuple[str, ...]:
    """What a keeper would ask: why a small one breeds, and why a big one does not; a sentence each, three at most."""
    said: list[str] = []
    for sex in (Sex.MALE, Sex.FEMALE):
        ours = [one for one in found.breeders if one.sex is sex and one.size is not None]
        if len(ours) < 3:
            continue
        middle = sorted(_size(one) for one in ours)[len(ours) // 2]
        near = sorted(one.kinship for one in ours)[len(ours) // 2]
        said += [_why_in(one, names) for one in ours if one.clutches and _size(one) < middle and one.kinship < near][:1]
        least = min((_size(one) for one in ours if one.clutches), default=0.0)
        left = sorted(
            (one for one in ours if not one.clutches and _size(one) > max(least, middle) and one.kinship >= near),
            key=lambda one: -_size(one),
        )
        said += [_why_out(one, names) for one in left[:1]]
    return tuple(said[:3])


def _size(one: Breeder) -> float:
    assert one.size is not None, "only asked where sizes are there"
    return one.size.mean


def _why_in(one: Breeder, names: Mapping[str, str]) -> str:
    return (
        f"{names.get(one.animal, one.animal)} passes on {_signed(_size(one))} % only, and breeds because "
        f"{_SHE[one.sex]} is less akin to the others of the line than most: {percent(one.kinship)} on average."
    )


def _why_out(one: Breeder, names: Mapping[str, str]) -> str:
    return (
        f"{names.get(one.animal, one.animal)} would pass on {_signed(_size(one))} %, and stays out: "
        f"{_SHE[one.sex]} is akin to the others of the line by {percent(one.kinship)} on average."
    )


def what_it_costs(found: LineBreeding) -> tuple[str, ...]:
    """What more size costs in inbreeding, a sentence each; empty without sizes."""
    if not found.trades:
        return ()
    said = []
    if found.percent_costs is not None:
        said.append(
            f"At the limit, one more percent of size costs {100 * found.percent_costs:.2g} points of inbreeding a "
            "generation later."
        )
    first = found.trades[0]
    said.append(
        f"Bred for the least inbreeding, {first.n_animals} animals take part and the young are "
        f"{percent(first.kinship)} akin."
    )
    said += [
        f"From {percent(before.kinship)} to {percent(after.kinship)} akin buys {after.size - before.size:.1f} % of "
        f"size: {after.n_animals} animals take part."
        for before, after in pairwise(found.trades[::2])
    ]
    if len(found.trades) == 1:
        said.append("No other choice of these animals gains more.")
    return tuple(said)


def mind(found: LineBreeding, names: Mapping[str, str], *, n_weighed: int) -> tuple[str, ...]:
    """What the choice rests on."""
    n = len(found.breeders)
    notes = [_on_size(found, n_weighed, n)]
    if found.could_gain > 0.05:
        notes.append(
            f"These clutches are not proven the best: others within the limit could gain {found.could_gain:.1f} % of "
            "size at most."
        )
    single = [one for one in found.breeders if one.sex is Sex.MALE and one.clutches == found.clutches > 1]
    if single:
        name = names.get(single[0].animal, single[0].animal)
        notes.append(f"All young are of {name}: they are half brothers and sisters at least.")
    laid = sum(one.lays for one in found.pairs)
    notes.append(
        f"Each female counts as laying. By her past, and common practice, each lays with the chance told: of "
        f"{found.clutches} paired, {laid:.1f} to expect."
    )
    notes.append(
        "Projects are not looked at: a female that breeds for the line has no clutch for one of them. The season plan "
        "weighs projects against each other."
    )
    notes.append("Health, condition and age decide before any of this; ask a vet in doubt.")
    return tuple(notes)


def _on_size(found: LineBreeding, n_weighed: int, n: int) -> str:
    if not found.is_by_size:
        return (
            f"Sizes tell these animals not apart ({n_weighed} of {n} have weights that count), so nobody is chosen for "
            "size: these are the clutches with the least kinship found. Weigh them to choose by size."
        )
    return (
        f"Size is the breeding value by descent; {n_weighed} of {n} have weights of their own that count. What a line "
        "has by its feeding cannot be bred for: see whether the two can be told apart before you choose by it."
    )
