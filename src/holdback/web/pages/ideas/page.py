"""What a page of ideas says, ready for the template."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

from holdback.answers.ideas import IdeasFor
from holdback.collection.model import Sex
from holdback.decisions.ideas import UNRELATED, Holder, Idea, Only, RuledOut
from holdback.decisions.ideas.phrases import capital, of_young
from holdback.web.pages.components import Column, Table
from holdback.web.pages.drawing import ovals
from holdback.web.pages.family import record_id
from holdback.web.pages.ideas.asked import Asked
from holdback.web.pages.wording import GAP, listed, whole_percent
from holdback.web.records.models import Animal
from holdback.web.records.queries import present_animals

_NAMES_SHOWN = 6
"""Genes of one idea that are named; the rest is counted."""

_MATES_SHOWN = 5
"""Mates shown of one idea."""

_HAS = Column("Has")
_CHANCE = Column("One or more in a clutch", is_number=True)


@dataclass(frozen=True, slots=True)
class IdeaShown:
    """One idea on the page.

    Parameters
    ----------
    label : str
        In a few words.
    names : str
        Genes where there are several; empty for one.
    reasons : tuple of str
        Why, and which trade names it leads to.
    ovals : SafeString
        Chance among young, as sixteen ovals.
    chance : str
        What is counted, and its chance.
    minds : tuple of str
        What nobody sees coming, and what should be known of the genes.
    cautions : tuple of str
        What needs a word.
    mates, offered : Table or None
        Who has it.
    """

    label: str
    names: str
    reasons: tuple[str, ...]
    ovals: SafeString
    chance: str
    minds: tuple[str, ...]
    cautions: tuple[str, ...]
    mates: Table | None
    offered: Table | None


@dataclass(frozen=True, slots=True)
class NotBrought:
    """A gene that is not brought, the reasons, and the address that brings it all the same; empty where none does."""

    name: str
    reasons: tuple[str, ...]
    address: str


def ideas_shown(answer: IdeasFor, only: Only) -> list[IdeaShown]:
    """Ideas of an answer, best first."""
    keys = _keys(answer)
    return [_idea(idea, answer, keys, only) for idea in answer.found.ideas]


def not_brought(never: Sequence[RuledOut], asked: Asked) -> tuple[list[NotBrought], list[NotBrought]]:
    """What is never brought, and what is not unless its cautions are spoken for."""
    shown = [
        NotBrought(
            each.name,
            tuple(spaced(reason) for reason in each.reasons),
            asked.address(also=each.codes) if each.codes else "",
        )
        for each in never
    ]
    return [each for each in shown if not each.address], [each for each in shown if each.address]


def lede(answer: IdeasFor) -> tuple[str, str]:
    """The answer in a sentence, and its uncertain part."""
    found = answer.found
    doubt = "Read the cautions first." if any(each.level != "note" for each in found.cautions) else ""
    if answer.doubts:
        doubt = f"Not all that was typed is read. {doubt}".strip()
    if not found.ideas:
        return spaced(found.notes[0]), doubt
    first = found.ideas[0]
    name = first.label if len(first.genes) == 1 else f"{first.genes[0].name}, or another that is as good"
    return f"{name} first. {chance_of(first)}", doubt


def chance_of(idea: Idea) -> str:
    """Chance of what is counted, in a sentence."""
    later = "" if idea.is_seen else f" The look itself takes {idea.generations} generations."
    young, clutch = capital(of_young(idea.per_hatchling)), _whole(idea.first_clutch)
    return f"{young} {idea.aim}; {clutch} for one or more in a laid clutch.{later}"


def _whole(chance: float) -> str:
    """Chance in whole percent, never said to be sure where it is not."""
    return f"over 99{GAP}%" if 0.99 < chance < 1 else whole_percent(chance)


def spaced(text: str) -> str:
    """Text with a thin space before every percent sign."""
    return re.sub(r"(?<=\d) ?%", f"{GAP}%", text)


def _idea(idea: Idea, answer: IdeasFor, keys: Mapping[str, Animal], only: Only) -> IdeaShown:
    names = [each.name for each in idea.genes]
    rest = len(names) - _NAMES_SHOWN
    shown = listed([*names[:_NAMES_SHOWN], f"{rest} more"] if rest > 0 else names)
    notes = [note for each in idea.genes[:_NAMES_SHOWN] for note in each.notes]
    return IdeaShown(
        label=idea.label,
        names=shown if len(names) > 1 else "",
        reasons=(*idea.why, *(combo.sentence for combo in idea.combos)),
        ovals=ovals(idea.per_hatchling, "young"),
        chance=chance_of(idea),
        minds=(*idea.consequences, *notes),
        cautions=idea.cautions,
        mates=None if only is Only.OFFERED else _table(idea, answer, keys, is_offer=False),
        offered=None if only is Only.AT_HAND else _table(idea, answer, keys, is_offer=True),
    )


def _table(idea: Idea, answer: IdeasFor, keys: Mapping[str, Animal], *, is_offer: bool) -> Table | None:
    """Who has any gene of an idea, each mate once."""
    has: dict[str, list[str]] = {}
    mates: dict[str, Holder] = {}
    for gene in idea.genes:
        for one in gene.offered if is_offer else gene.at_hand:
            has.setdefault(one.id, []).append(gene.name)
            mates.setdefault(one.id, one)
    ranked = sorted(mates.values(), key=lambda one: ((one.kinship or 0.0) >= UNRELATED, not one.is_proven, -one.chance))
    heads = [Column("On offer" if is_offer else "Mate"), Column("As a mate"), _CHANCE]
    rows = [[_mate(one, answer, keys), _facts(one), _whole(one.first_clutch)] for one in ranked[:_MATES_SHOWN]]
    if len(idea.genes) > 1:
        heads.insert(1, _HAS)
        for row, one in zip(rows, ranked, strict=False):
            row.insert(1, listed(has[one.id]))
    return Table(heads, rows) if rows else None


def _facts(one: Holder) -> str:
    return spaced(", ".join(one.facts))


def _mate(one: Holder, answer: IdeasFor, keys: Mapping[str, Animal]) -> str:
    """The mate, leading to the two as a pair."""
    if one.id not in keys and answer.sex is Sex.UNKNOWN:
        return one.name
    this = answer.id or answer.label
    mate = one.id if one.id in keys else one.name
    sire, dam = (mate, this) if answer.sex is Sex.FEMALE else (this, mate)
    if answer.sex is Sex.UNKNOWN and one.id in keys and keys[one.id].sex == Sex.MALE.value:
        sire, dam = mate, this
    return format_html(
        '<a class="nb" href="{}?{}">{}</a>', reverse("pages:pair"), urlencode({"sire": sire, "dam": dam}), one.name
    )


def _keys(answer: IdeasFor) -> dict[str, Animal]:
    """Animals at hand that are named, by the id that the answer has for them."""
    ids = {one.id for idea in answer.found.ideas for gene in idea.genes for one in gene.at_hand}
    tags = {each.partition(" (")[0] for each in ids} | ids
    return {record_id(one): one for one in present_animals().filter(tag__in=tags)} if ids else {}
