"""Proving an odd look: who of the family showed it, what that says, what to breed next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.safestring import SafeString

from holdback.answers import Answers
from holdback.collection.collection import Collection
from holdback.web.pages.components import Column, Table
from holdback.web.pages.drawing import share_bar
from holdback.web.pages.wording import percent

if TYPE_CHECKING:
    from holdback.heredity.proving import Pairings, Verdict


@dataclass(frozen=True, slots=True)
class Nest:
    """Young of one clutch, to be marked: id, words, and whether each is marked as showing it or as stronger."""

    title: str
    young: tuple[tuple[str, str, bool, bool], ...]


@dataclass(frozen=True, slots=True)
class OddAnswer:
    """What the marked young say.

    Parameters
    ----------
    sentence : str
        The verdict.
    cautions : tuple of str
        What the young do not tell.
    modes : Table
        Each mode with its chance.
    pairings : Table
        What to breed next, the most telling first.
    basis : tuple of str
        What it all rests on.
    """

    sentence: str
    cautions: tuple[str, ...]
    modes: Table
    pairings: Table
    basis: tuple[str, ...]


def nests_of(collection: Collection, animal: str, shown: Sequence[str], stronger: Sequence[str]) -> list[Nest]:
    """Young of an animal and of its young on record, by clutch, its own first."""
    seen, waiting = {animal}, [animal]
    nests: dict[str, list[tuple[str, str, bool, bool]]] = {}
    while waiting:
        parent = waiting.pop(0)
        for young in collection.offspring(parent):
            if young.id not in seen:
                seen.add(young.id)
                waiting.append(young.id)
                title = f"Clutch {young.clutch}" if young.clutch else f"Young of {parent}"
                words = f"{young.name} {young.id}".strip() + (f", {young.genes}" if young.genes else "")
                nests.setdefault(title, []).append((young.id, words, young.id in shown, young.id in stronger))
    return [Nest(title, tuple(young)) for title, young in nests.items()]


def odd_answer(answers: Answers, animal: str, *, shown: Sequence[str], stronger: Sequence[str]) -> OddAnswer:
    """What the young say of how an odd look is passed on.

    Parameters
    ----------
    answers : Answers
        Over the whole collection; no beliefs are asked of it.
    animal : str
        Id of the odd animal.
    shown, stronger : sequence of str
        Ids of those that show the look, and of those with a more extreme one.

    Raises
    ------
    HoldbackError
        If an id is no animal, or the trials cannot be.
    """
    from holdback.answers.proof import odd_proof

    found = odd_proof(answers, animal, shown, stronger)
    return OddAnswer(
        sentence=found.verdict.sentence,
        cautions=found.verdict.cautions,
        modes=_modes(found.verdict),
        pairings=_pairings(found.pairings),
        basis=(*found.verdict.basis, found.pairings.basis),
    )


def _modes(verdict: Verdict) -> Table:
    heads = [Column("Way it is passed on"), Column("Chance", is_full=True), Column("Before any young", is_number=True)]
    lines: list[list[str | SafeString]] = [
        [str(mode).capitalize(), share_bar(chance, str(mode)), percent(verdict.prior[mode])]
        for mode, chance in verdict.ranked
    ]
    return Table(heads, lines)


def _pairings(found: Pairings) -> Table:
    heads = [Column("Pairing"), Column("Named rightly after one clutch"), Column("Eggs to settle it", is_number=True)]
    heads.append(Column("Mind", is_full=True))
    lines = [
        [
            one.label[:1].upper() + one.label[1:],
            f"{percent(one.after_clutch)}, now {percent(one.now)}",
            str(one.eggs_to_settle) if one.eggs_to_settle is not None else "none will do",
            " ".join(
                word
                for word in (
                    "The young have to be bred and grown first." if one.needs_young_first else "",
                    "A recessive cannot show here." if one.recessive_cannot_show else "",
                    f"The young are inbred, {percent(one.inbreeding)} or more." if one.inbreeding else "",
                )
                if word
            )
            or "—",
        ]
        for one in found.pairings
    ]
    return Table(heads, lines)
