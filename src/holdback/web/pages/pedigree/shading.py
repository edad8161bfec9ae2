"""How boxes are filled from below: share of a line, chance of carrying a gene, or inbreeding."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from holdback.collection.estimate import Basis
from holdback.errors import Fault, HoldbackError
from holdback.species.model import WILD
from holdback.web.pages.wording import SURE, about, percent

if TYPE_CHECKING:
    from holdback.answers import Answers
    from holdback.descent.pedigree import Pedigree

LINE, GENE, INBREEDING, NONE = "line:", "gene:", "inbreeding", "none"
"""How a shading is written in an address."""

PATIENCE = 0.5
"""Seconds spent on saying how each chance is known; the rest stands without a stroke, and on the animal's page."""

ASKED_FOR_GENES = 40
"""Animals of which the genes are looked up to say by which ones the drawing can be shaded."""


@dataclass(frozen=True, slots=True)
class Shade:
    """Fill of one box.

    Parameters
    ----------
    share : float
        How far it is filled, in [0, 1].
    words : str
        The number in words.
    basis : Basis or None
        How it is known; None where that is not told.
    solid : float
        Part of the fill, from below, that is solid: the chance of two copies.
    """

    share: float
    words: str
    basis: Basis | None = None
    solid: float = 0.0


@dataclass(frozen=True)
class Shading:
    """Fill of every box.

    Parameters
    ----------
    key : str
        As in the address.
    name : str
        What is shown, as the head of a column.
    of : mapping of int to Shade
        By node of the pedigree.
    """

    key: str = NONE
    name: str = ""
    of: Mapping[int, Shade] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to shade."""

    key: str
    label: str


def choices(answers: Answers, animals: Iterable[str]) -> list[Choice]:
    """Ways to shade that may tell something of the animals drawn.

    Parameters
    ----------
    answers : Answers
        Over the whole collection.
    animals : iterable of str
        Ids of animals on record, the one in question first.
    """
    found = [Choice(NONE, "nothing"), Choice(INBREEDING, "inbreeding")]
    found += [Choice(f"{LINE}{line}", f"share of {line}") for line in answers.descent.lines]
    genes: set[str] = set()
    for name in list(animals)[:ASKED_FOR_GENES]:
        for pairs in answers.beliefs.of(name).loci.values():
            genes.update(allele for pair in pairs for allele in pair if allele != WILD)
    named = sorted((answers.catalogue.alleles[allele].name, allele) for allele in genes)
    return found + [Choice(f"{GENE}{allele}", f"chance of {name}") for name, allele in named]


def shading_of(key: str, answers: Answers, nodes: Iterable[int]) -> Shading:
    """The shading that an address asks for.

    Parameters
    ----------
    key : str
        ``none``, ``inbreeding``, ``line:NAME`` or ``gene:KEY``.
    answers : Answers
        Over the whole collection.
    nodes : iterable of int
        Nodes of the pedigree that are drawn, those with a box of their own first.

    Raises
    ------
    HoldbackError
        PAGE-002 if there is no such shading, PED-011 if no claim names the line.
    """
    if key in ("", NONE):
        return Shading()
    if key == INBREEDING:
        return _inbreeding(answers, nodes)
    if key.startswith(LINE):
        return _line(answers, answers.descent.line_named(key.removeprefix(LINE)), nodes)
    allele = key.removeprefix(GENE)
    if not key.startswith(GENE) or allele not in answers.catalogue.alleles:
        hint = "Choose one from the list."
        raise HoldbackError(Fault("PAGE-002", f"A pedigree cannot be shaded by {key!r}.", hint, field="shade"))
    return _gene(answers, allele, nodes)


def _inbreeding(answers: Answers, nodes: Iterable[int]) -> Shading:
    pedigree, values = answers.descent.pedigree, answers.descent.inbreeding
    shades = {}
    for node in _on_record(pedigree, nodes):
        basis = Basis.ASSUMED if pedigree.is_founder[node] else Basis.BY_DESCENT
        value = float(values[node])
        shades[node] = Shade(value, percent(value) if value else "0\u00a0%", basis)
    return Shading(INBREEDING, "Inbreeding", shades)


def _line(answers: Answers, line: str, nodes: Iterable[int]) -> Shading:
    descent = answers.descent
    means, pedigree, founders = descent.share_means(line), descent.pedigree, descent.founders(line)
    shades = {}
    for node in _on_record(pedigree, nodes):
        if pedigree.is_founder[node]:
            basis = Basis.CLAIMED if founders[node].ground else Basis.ASSUMED
        else:
            above = pedigree.ancestors([node])
            is_stated = any(founders[one].ground for one in above if pedigree.is_founder[one])
            basis = Basis.BY_DESCENT if is_stated else Basis.ASSUMED
        value = float(means[node])
        shades[node] = Shade(value, percent(value), basis)
    return Shading(f"{LINE}{line}", f"Share of {line}", shades)


def _gene(answers: Answers, allele: str, nodes: Iterable[int]) -> Shading:
    catalogue, pedigree = answers.catalogue, answers.descent.pedigree
    locus, standing = catalogue.alleles[allele].locus, catalogue.stands_for(allele)
    end = time.monotonic() + PATIENCE
    shades = {}
    for node in _on_record(pedigree, nodes):
        name = pedigree.ids[node]
        copies = answers.beliefs.copies(name, locus, standing)
        is_asked = locus in answers.evidence.loci and time.monotonic() < end
        basis = answers.grounds(name, locus, allele=standing).basis if is_asked else None
        shades[node] = Shade(copies[1] + copies[2], copies_in_words(copies), basis, copies[2])
    return Shading(f"{GENE}{allele}", f"Chance of {catalogue.alleles[allele].name}", shades)


def copies_in_words(copies: tuple[float, float, float]) -> str:
    """Whether an animal carries a gene: "two copies", "one copy", "carries it", "1 in 2".

    Examples
    --------
    >>> copies_in_words((0.0, 1.0, 0.0)), copies_in_words((0.5, 0.5, 0.0)), copies_in_words((1.0, 0.0, 0.0))
    ('one copy', '1 in 2', 'none')
    """
    none, one, two = copies
    for chance, words in ((two, "two copies"), (one, "one copy"), (one + two, "carries it"), (none, "none")):
        if chance >= SURE:
            return words
    return about(one + two)


def shade_of(shading: Shading, nodes: Iterable[int]) -> Shade | None:
    """Fill of a box: of its animal, or what clutch mates that share one have in common."""
    found = [shading.of[node] for node in nodes if node in shading.of]
    if not found:
        return None
    low, high = min(found, key=lambda one: one.share), max(found, key=lambda one: one.share)
    bases = {one.basis for one in found}
    basis = bases.pop() if len(bases) == 1 else None
    if low.words == high.words:
        return Shade(low.share, low.words, basis, low.solid)
    return Shade(0.0, f"{low.words} to {high.words}", basis)


def _on_record(pedigree: Pedigree, nodes: Iterable[int]) -> list[int]:
    return [node for node in nodes if pedigree.on_record[node]]
