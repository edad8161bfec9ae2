"""Line share and inbreeding of one animal, and of the young of a pair, as their pages show them."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass

from django.urls import reverse
from django.utils.http import urlencode

from holdback.answers import Answers
from holdback.answers.descent import Descent
from holdback.answers.descent.names import named, percent
from holdback.web.pages.components import LedgerRow, Table
from holdback.web.pages.descent_words import (
    Cautioned,
    ShareShown,
    backcross_table,
    inbreeding_row,
    none_of,
    pair_caution,
    share_shown,
    unknown_inbreeding_row,
    without_sire_row,
)
from holdback.web.pages.path_words import path_words
from holdback.web.pages.wording import span, whole_percent
from holdback.web.records.models import Animal, LineClaim


@dataclass(frozen=True, slots=True)
class ClaimShown:
    """What is said of the animal's share of a line, and whether its parents leave that in use."""

    key: uuid.UUID
    line: str
    words: str
    is_used: bool


@dataclass(frozen=True)
class Lineage:
    """Descent of an animal as its page shows it.

    Parameters
    ----------
    shares : list of ShareShown
        Lines that run in it, or may.
    none : str
        Sentence where no line runs in it; else empty.
    claims : list of ClaimShown
        What is said of it.
    lines : list of str
        Lines that run in it.
    inbreeding : list of LedgerRow
        Its inbreeding.
    paths : list of str
        Through whom, in words.
    """

    shares: list[ShareShown]
    none: str
    claims: list[ClaimShown]
    lines: list[str]
    inbreeding: list[LedgerRow]
    paths: list[str]


def lineage(answers: Answers, name: str, claims: Sequence[LineClaim]) -> Lineage:
    """Descent of an animal.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    name : str
        Id of the animal.
    claims : sequence of LineClaim
        What is said of it.
    """
    descent = answers.descent
    shares = descent.shares(name)
    running = [one for one in shares if one.mean > 0]
    paths, is_used = descent.paths(name), bool(descent.pedigree.is_founder[descent.node(name)])
    return Lineage(
        [share_shown(one) for one in running],
        "" if running else none_of(shares),
        [ClaimShown(claim.pk, claim.line, _said(claim), is_used) for claim in claims],
        [one.line for one in running],
        [_inbreeding(descent, name)],
        path_words(descent, paths),
    )


def _inbreeding(descent: Descent, name: str) -> LedgerRow:
    """Ledger row of the inbreeding of an animal."""
    pedigree, node = descent.pedigree, descent.node(name)
    if pedigree.is_founder[node]:
        return unknown_inbreeding_row()
    if pedigree.without_sire[node]:
        return without_sire_row(descent.inbreeding_of(name))
    if any(_is_unknown(descent, parent) for parent in pedigree.parents[node].tolist()):
        return unknown_inbreeding_row(both=False)
    is_expected = any(one in pedigree.candidates for one in pedigree.ancestors([node]))
    return inbreeding_row(descent.inbreeding_of(name), is_expected=is_expected)


def _is_unknown(descent: Descent, parent: int) -> bool:
    """Whether a parent is an animal that is not on record, and not one of several that are."""
    pedigree = descent.pedigree
    return bool(pedigree.is_founder[parent]) and pedigree.ids[parent] not in descent.collection.animals


def _said(claim: LineClaim) -> str:
    if claim.share_low == claim.share_high:
        return {0.0: "none of", 1.0: "all of"}.get(claim.share_low, f"{whole_percent(claim.share_low)} of")
    return f"{span(100 * claim.share_low, 100 * claim.share_high)}\u00a0% of"


@dataclass(frozen=True)
class YoungShown:
    """Descent of the young of a pair as its page shows it.

    Parameters
    ----------
    rows : list of LedgerRow
        Their inbreeding.
    through : list of str
        Common ancestors, each with what it costs.
    cases : list of str
        Inbreeding by candidate, where a doubtful sire matters.
    shares : list of ShareShown
        Lines of the young.
    backcross : Table or None
        What the next backcross would do.
    caution : Cautioned or None
        About the inbreeding.
    drawing : str
        Address of the drawing of both pedigrees.
    """

    rows: list[LedgerRow]
    through: list[str]
    cases: list[str]
    shares: list[ShareShown]
    backcross: Table | None
    caution: Cautioned | None
    drawing: str


def young_shown(answers: Answers, sire: Animal, dam: Animal, ids: tuple[str, str]) -> YoungShown:
    """Descent of the young of two animals on record.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    sire, dam : Animal
        The two.
    ids : tuple of str
        Their ids in the engine.
    """
    descent = answers.descent
    found = descent.young(*ids)
    collection = answers.collection
    through = [f"{percent(cost)} through {named(collection, one)}." for one, cost in found.common_ancestors()]
    if found.paths.rest > 1e-9:
        through.append(f"{percent(found.paths.rest)} over ways that are not listed one by one.")
    if not found.inbreeding:
        through.append("They share no ancestor that is on record.")
    cases = [
        f"If {named(collection, one.sire)} sired {one.brood} ({percent(one.chance)}): {percent(one.inbreeding)}."
        for one in found.cases
    ]
    address = reverse("pages:pedigree", args=[sire.pk])
    return YoungShown(
        [inbreeding_row(found.inbreeding, name="Inbreeding of the young", is_expected=bool(cases))],
        through[:6],
        cases,
        [share_shown(one) for one in found.shares],
        backcross_table(found, descent),
        pair_caution(found, descent),
        f"{address}?{urlencode({'with': ids[1]})}",
    )
