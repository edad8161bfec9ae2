"""Mentions set against each other: repeats, compounds, equivalents, too many alleles of one locus."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from holdback.heredity.shorthand.facts import Facts, Warn
from holdback.heredity.shorthand.mentions import Mention, Said
from holdback.heredity.shorthand.reading import ASSUMED, HELD_BACK, STATED, UNSTATED, Copies, ReadGene
from holdback.heredity.shorthand.repeats import BOTH_WAYS, THREE_TIMES, one_claim
from holdback.heredity.shorthand.tokens import Token, is_recessive

if TYPE_CHECKING:
    from holdback.species.catalogue import Catalogue


class Setting(NamedTuple):
    """What settling needs beside the mentions: the species, the other facts, and where remarks go."""

    catalogue: Catalogue
    facts: Facts
    warn: Warn


_LEAST = {Said.ONE: 1, Said.TWO: 2, Said.VISUAL: 2, Said.TWO_DOUBT: 1, Said.OPEN_SUPER: 1}


def settled(mentions: Sequence[Mention], makers: Sequence[Token], setting: Setting) -> tuple[ReadGene, ...]:
    """One entry per allele, in reading order.

    Parameters
    ----------
    mentions : sequence of Mention
        All gene claims of the text.
    makers : sequence of Token
        "MM" and "FM".
    setting : Setting
        Catalogue, other facts, and where remarks go.
    """
    by_allele: dict[tuple[str, str], list[Mention]] = defaultdict(list)
    for mention in mentions:
        by_allele[mention.locus, mention.allele.key if mention.allele else mention.label].append(mention)
    claims = [one_claim(same, setting.warn) for same in by_allele.values()]
    _settle_supers(claims, setting)
    _mind_optional(claims, setting)
    by_locus: dict[str, list[Mention]] = defaultdict(list)
    for claim in claims:
        by_locus[claim.locus].append(claim)
    held: set[str] = set()
    compounds: set[int] = set()
    for locus, same in by_locus.items():
        named = [claim for claim in same if claim.allele]
        compounds |= _compound(named)
        if sum(_least(claim, compounds) for claim in named) > 2 or any(
            claim.source in (THREE_TIMES, BOTH_WAYS) for claim in named
        ):
            held.add(locus)
            _report_held(named, setting)
        elif len(named) > 1:
            _mind_pair(named, setting)
    makers_of = _makers(claims, makers, setting)
    return tuple(
        _gene(claim, one=id(claim) in compounds, held=claim.locus in held, makers=makers_of) for claim in claims
    )


def _settle_supers(claims: list[Mention], setting: Setting) -> None:
    """Poss super from X x X, where that pairing is written: 1/4 of the young out of the visible 3/4."""
    for claim in claims:
        if claim.said is not Said.OPEN_SUPER or claim.source != "possible super" or not claim.allele:
            continue
        name = claim.allele.name
        if _from_same_pairing(claim, setting):
            claim.said, claim.chance = Said.TWO_DOUBT, 1 / 3
            message = f"{name} x {name}: one chance in three of two copies."
        else:
            message = f"One or two copies of {name} are not told apart; odds use one. From which pairing?"
        setting.warn("possible-super", message, claim.start, claim.end)


def _from_same_pairing(claim: Mention, setting: Setting) -> bool:
    if setting.catalogue.loci[claim.locus].sex_linkage:
        return False
    for relative in setting.facts.relatives:
        parts = relative.carried if isinstance(relative.carried, tuple) else ()
        inner = [token for token in parts if token.kind != "GAP"]
        kinds = [token.kind for token in inner[1:]]
        if kinds == ["NAME", "TIMES", "NAME"] and inner[1].carried == inner[3].carried == claim.allele:
            return True
    return False


def _mind_optional(claims: list[Mention], setting: Setting) -> None:
    """Say which ingredients of a combo stay doubtful, now that genes named beside it are known."""
    for claim in claims:
        if claim.assumed and claim.combo and claim.allele:
            message = f"{claim.allele.name} is often left out of {claim.combo}; one chance in two is assumed."
            setting.warn("combo-optional", message, claim.start, claim.end)


def _compound(named: list[Mention]) -> set[int]:
    """Visual recessives that share their locus with another shown allele have one copy each."""
    visual = [claim for claim in named if claim.said is Said.VISUAL]
    shown = [claim for claim in named if claim.said in (Said.VISUAL, Said.ONE)]
    return {id(claim) for claim in visual} if len(shown) > 1 else set()


def _least(claim: Mention, compounds: set[int]) -> int:
    if id(claim) in compounds:
        return 1
    if claim.said in (Said.HET, Said.DOUBT):
        return int(claim.chance == 1)
    return _LEAST.get(claim.said, 0)


def _report_held(named: list[Mention], setting: Setting) -> None:
    names = ", ".join(claim.allele.name for claim in named if claim.allele)
    locus = setting.catalogue.loci[named[0].locus]
    message = f"{names}: more than two copies at one place ({locus.name}). All are held back; name at most two."
    if len(named) > 1 or named[0].source not in (THREE_TIMES, BOTH_WAYS):
        setting.warn("three-alleles", message, named[0].start, named[-1].end)


def _mind_pair(named: list[Mention], setting: Setting) -> None:
    start, end = named[0].start, named[-1].end
    first, second = named[0], named[1]
    assert first.allele
    assert second.allele
    names = f"{first.allele.name} and {second.allele.name}"
    kinds = {claim.said for claim in named}
    shown = [claim for claim in named if claim.said in (Said.ONE, Said.VISUAL)]
    if len(shown) == 2 and len({claim.allele.same_as or claim.allele.key for claim in shown if claim.allele}) == 1:
        setting.warn("equivalent-names", f"{names} are held to be one gene; read as one copy of each.", start, end)
    if kinds == {Said.HET} and all(claim.chance == 1 for claim in named) and is_recessive(first.allele):
        setting.warn("het-pair-shows", f"One copy of {names} each would show.", start, end)
    if kinds & {Said.TWO, Said.VISUAL} and kinds & {Said.HET, Said.OPEN_HET} and len(shown) < 2:
        setting.warn("het-and-visual", f"{names} share one place, and two copies are named already.", start, end)


def _makers(claims: list[Mention], makers: Sequence[Token], setting: Setting) -> dict[str, str]:
    """Sex-linked locus to "male maker" or "female maker"."""
    found: dict[str, str] = {}
    linked = [claim for claim in claims if claim.allele and setting.catalogue.loci[claim.locus].sex_linkage]
    for maker in makers:
        if not linked:
            setting.warn("maker-without-gene", f"{maker.text}: of which gene?", maker.start, maker.end)
            continue
        sex = setting.facts.sex
        two = any(claim.said is Said.TWO for claim in linked)
        if two or (sex != "unknown" and not setting.catalogue.is_heterogametic(sex)):
            message = f"{maker.text} is for one copy in the sex that can pass it unevenly; it is not used."
            setting.warn("maker-sex", message, maker.start, maker.end)
            continue
        found.update({claim.locus: str(maker.carried) for claim in linked})
    return found


def _gene(claim: Mention, *, one: bool, held: bool, makers: dict[str, str]) -> ReadGene:
    allele, chance = claim.allele, claim.chance
    copies: Copies | None
    shown: bool | None
    match claim.said:
        case Said.ONE:
            copies, shown = (0.0, 1.0, 0.0), True
        case Said.VISUAL | Said.TWO:
            copies, shown = ((0.0, 1.0, 0.0) if one else (0.0, 0.0, 1.0)), True
        case Said.HET:
            copies, shown = (1 - chance, chance, 0.0), False
        case Said.DOUBT:
            copies, shown = (1 - chance, chance, 0.0), None
        case Said.TWO_DOUBT:
            copies, shown = (0.0, 1 - chance, chance), True
        case Said.ABSENT:
            copies, shown = (1.0, 0.0, 0.0), False
        case _:
            copies, shown = None, {Said.OPEN_HET: False, Said.OPEN_SUPER: True}.get(claim.said)
            shown = shown if allele else True
    said = ASSUMED if claim.assumed else STATED if copies else UNSTATED
    return ReadGene(
        allele=allele.key if allele else "",
        name=allele.name if allele else claim.label,
        copies=None if held else copies,
        shown=None if held else shown,
        source=claim.source,
        text=claim.text,
        said=HELD_BACK if held else said,
        locus=claim.locus,
        maker=makers.get(claim.locus, ""),
    )
