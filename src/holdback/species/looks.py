"""What can be seen of a pair of alleles: named pairs from the file, the rest by rule.

Equivalent alleles (`same_as`) count as one. Where the file names no look: recessives show with two copies, dominants
show the same with one and two, incomplete dominants have a look for each, two different alleles that both show have a
look that names both, two different recessives at one locus show as a compound of unknown look.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations_with_replacement

from holdback.errors import Fault
from holdback.species.fields import Table
from holdback.species.model import WILD, Allele, Ease, Inheritance, Locus, LocusLook, Mark, Pair, pair
from holdback.species.naming import slug_of
from holdback.species.parts import pair_of

_HARDER = (Ease.PLAIN, Ease.SUBTLE, Ease.HARD)


@dataclass(frozen=True, slots=True)
class NamedLook:
    """A look of the file: the pairs it covers, and other names of it where it is one pair."""

    look: LocusLook
    pairs: tuple[Pair, ...]
    aliases: tuple[str, ...]
    names_pair: bool
    note: str


def standing_for(alleles: Mapping[str, Allele], faults: list[Fault]) -> dict[str, str]:
    """Allele key to the key that stands for it after following `same_as`."""
    stands: dict[str, str] = {}
    for allele in alleles.values():
        end, seen = allele, {allele.key}
        while end.same_as:
            following = alleles.get(end.same_as)
            if following is None or following.locus != allele.locus or following.key in seen:
                faults.append(_bad_equivalent(allele, end))
                break
            seen.add(following.key)
            end = following
        stands[allele.key] = end.key
    return stands


def _bad_equivalent(allele: Allele, end: Allele) -> Fault:
    return Fault(
        "SPE-025",
        f"{allele.name} cannot be the same as {end.same_as!r}: not an allele of its locus, or a ring.",
        "Name another allele of the same locus, or leave same_as out.",
        field=f"allele.{allele.key}.same_as",
        value=end.same_as,
    )


def look_of(
    data: object,
    alleles: Mapping[str, Allele],
    loci: Mapping[str, Locus],
    faults: list[Fault],
) -> NamedLook | None:
    """Look from its table; None, with faults, if it names nothing that exists."""
    table = Table(data, "look", faults)
    label, locus = table.text("label", required=True), table.text("locus", required=True)
    table.where = f"look.{label}"
    word = table.text("word") or slug_of(label)
    pairs = _covered(table, locus, alleles)
    one_pair = not table.has("among") and len(pairs) == 1
    look = LocusLook(
        key=f"{locus}:{word}",
        label=label,
        alleles=tuple(dict.fromkeys(key for each in pairs for key in each if key != WILD)) if one_pair else (),
        text=table.text("text"),
        hides=_hides(table, loci),
        ease=table.choice("ease", Ease, Ease.PLAIN),
        mark=table.mark(),
    )
    aliases, note = table.texts("aliases"), table.text("note")
    table.close()
    if locus not in loci:
        table.fault("SPE-020", f"There is no locus {locus!r}.", "Use the key of a locus of the file.", "locus", locus)
        return None
    return NamedLook(look, pairs, aliases, one_pair, note)


def _covered(table: Table, locus: str, alleles: Mapping[str, Allele]) -> tuple[Pair, ...]:
    """Pairs a look covers, as the file names them."""
    found: list[Pair] = []
    for each in table.tables("pairs"):
        known = pair_of(each, table, alleles, "pairs")
        found += [known] if known else []
    among = [key for key in table.texts("among") if pair_of([key, key], table, alleles, "among")]
    found += [pair(first, second) for first, second in combinations_with_replacement(among, 2)]
    for key in sorted({key for each in found for key in each if alleles[key].locus != locus}):
        table.fault("SPE-031", f"{key} is not an allele of {locus}.", "Name alleles of the look's locus.", "pairs", key)
    if not found and not (table.tables("pairs") or table.texts("among")):
        table.fault("SPE-010", f"{table.where} names no pair.", "Add pairs or among.", "pairs")
    return tuple(dict.fromkeys(found))


def _hides(table: Table, loci: Mapping[str, Locus]) -> str:
    hides = table.text("hides")
    for key in hides.split() if hides != "all" else ():
        if key not in loci:
            table.fault("SPE-020", f"There is no locus {key!r}.", 'Write "all", or keys of loci.', "hides", key)
    return hides


def named_pairs(
    looks: tuple[NamedLook, ...], stands: Mapping[str, str], faults: list[Fault]
) -> dict[tuple[str, Pair], LocusLook]:
    """Locus and pair, equivalents standing as one, to the look the file gives it.

    Notes
    -----
    A look written for the standing alleles themselves comes before one that reaches them through an equivalent, so
    that a keeper can make two alleles one without rewriting the looks.
    """
    written: dict[tuple[str, Pair], LocusLook] = {}
    reached: dict[tuple[str, Pair], LocusLook] = {}
    keys: dict[str, LocusLook] = {}
    for named in looks:
        locus = named.look.key.partition(":")[0]
        if keys.setdefault(named.look.key, named.look) is not named.look:
            faults.append(_twice(named.look, f"two looks share the key {named.look.key}"))
        for first, second in named.pairs:
            holder = written.setdefault((locus, (first, second)), named.look)
            if holder is not named.look:
                faults.append(_twice(named.look, f"{first}/{second} already has the look {holder.label}"))
            reached.setdefault((locus, pair(stands[first], stands[second])), named.look)
    return reached | {place: look for place, look in written.items() if all(stands[key] == key for key in place[1])}


def _twice(look: LocusLook, what: str) -> Fault:
    return Fault("SPE-027", f"{look.label}: {what}.", "Give each pair one look.", field=f"look.{look.label}")


def look_by_rule(locus: Locus, alleles: tuple[Allele, ...]) -> LocusLook:
    """Look of the named alleles of a pair, none, one or two of them, where the file names none.

    Parameters
    ----------
    locus : Locus
        Their locus.
    alleles : tuple of Allele
        Alleles of the pair other than the wild type, equivalents already replaced, in file order.
    """
    if len(alleles) == 2 and alleles[0] is alleles[1]:
        return _two_copies(locus, alleles[0])
    showing = [allele for allele in alleles if allele.inheritance is not Inheritance.RECESSIVE]
    if len(alleles) == 2 and len(showing) != 1:
        return _compound(locus, alleles)
    if showing:
        return _one_copy(locus, showing[0])
    return LocusLook(key=f"{locus.key}:", label="", mark=locus.mark)


def _word(locus: Locus, allele: Allele, copies: int) -> str:
    return f"{locus.key}:{copies}" if allele.key == locus.key else f"{locus.key}:{allele.key}-{copies}"


def _one_copy(locus: Locus, allele: Allele) -> LocusLook:
    return LocusLook(
        key=_word(locus, allele, 1),
        label=allele.name,
        alleles=(allele.key,),
        text=allele.one_copy,
        ease=allele.ease_one,
        mark=allele.mark,
    )


def _two_copies(locus: Locus, allele: Allele) -> LocusLook:
    if allele.inheritance is Inheritance.DOMINANT:
        return _one_copy(locus, allele)
    recessive = allele.inheritance is Inheritance.RECESSIVE
    return LocusLook(
        key=_word(locus, allele, 2),
        label=allele.two_copies_name or (allele.name if recessive else f"Super {allele.name}"),
        alleles=(allele.key,),
        text=allele.two_copies,
        ease=allele.ease_two,
        mark=allele.mark,
    )


def _compound(locus: Locus, alleles: tuple[Allele, ...]) -> LocusLook:
    first, second = alleles
    return LocusLook(
        key=f"{locus.key}:{first.key}+{second.key}",
        label=f"{first.name} {second.name}",
        alleles=(first.key, second.key),
        ease=_harder(alleles),
        mark=Mark.MEMORY,
    )


def _harder(alleles: tuple[Allele, ...]) -> Ease:
    """The harder of the one-copy looks; two recessives together show plainly or are not known to be hard."""
    showing = [allele.ease_one for allele in alleles if allele.inheritance is not Inheritance.RECESSIVE]
    return max(showing, key=_HARDER.index, default=Ease.PLAIN)
