"""Alleles, loci, combos and cautions from the tables of a species file."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from holdback.errors import Fault
from holdback.species.fields import Table, value_of
from holdback.species.model import (
    FREQUENCY,
    Allele,
    Combo,
    Ease,
    Flag,
    GrowthRow,
    Inheritance,
    Linkage,
    Locus,
    Mark,
    NotAGene,
    Pair,
    PairingCaution,
    SexLinkage,
    Together,
    pair,
)
from holdback.species.naming import title_of

STAGES = ("", "in egg", "after hatching")
"""When a lethal combination kills."""

LEVELS = ("note", "think", "stop")
"""How much a pairing caution weighs."""

FLAG_KINDS = (
    "neurological",
    "lethal",
    "kinking",
    "female fertility",
    "eyes",
    "hatchling vigour",
    "husbandry",
)
"""What a welfare flag can be about."""

NAMED_SHARE = 0.9
"""Share that all named alleles of a locus stay under, so that the wild type keeps one."""

_SLUG = re.compile(r"[a-z0-9][a-z0-9-]*")


def grouped(data: Mapping[str, Any], groups: Mapping[str, Any], where: str, faults: list[Fault]) -> Mapping[str, Any]:
    """Table of an allele with the values of its group filled in below its own."""
    name = data.get("group")
    if name is None:
        return data
    group = groups.get(name) if isinstance(name, str) else None
    if not isinstance(group, Mapping):
        known = ", ".join(groups) or "none"
        faults.append(Fault("SPE-029", f"There is no group {name!r}.", f"Groups: {known}.", field=f"{where}.group"))
        return data
    return {**group, **data}


def allele_of(key: str, data: object, faults: list[Fault]) -> Allele:
    """Allele from its table, group values filled in."""
    table = Table(data, f"allele.{key}", faults)
    if not _SLUG.fullmatch(key):
        hint = "Use small letters, digits and hyphens, such as my-gene."
        table.fault("SPE-012", f"{key!r} is no key.", hint, value=key)
    table.raw("group")
    mark = table.mark()
    if not table.has("inheritance"):
        hint = "Write recessive, incomplete dominant or dominant; it is never guessed."
        table.fault("SPE-010", f"allele.{key} has no inheritance.", hint, "inheritance")
    allele = Allele(
        key=key,
        name=table.text("name") or title_of(key),
        locus=table.text("locus") or key,
        inheritance=table.choice("inheritance", Inheritance, Inheritance.RECESSIVE),
        one_copy=table.text("one_copy"),
        two_copies=table.text("two_copies"),
        two_copies_name=table.text("two_copies_name"),
        aliases=table.texts("aliases"),
        same_as=table.text("same_as"),
        lethal=table.number("lethal"),
        lethal_stage=table.one_of("lethal_stage", STAGES),
        ease_one=table.choice("ease_one", Ease, Ease.PLAIN),
        ease_two=table.choice("ease_two", Ease, Ease.PLAIN),
        missed=table.number("missed", 0.01),
        imagined=table.number("imagined", 0.001),
        frequency=_frequency(table),
        tags=table.texts("tags"),
        flags=tuple(_flag(each, table, mark) for each in table.tables("flags")),
        mark=mark,
        source=table.text("source"),
        note=table.text("note"),
    )
    if bool(allele.lethal) != bool(allele.lethal_stage):
        hint = "Write both lethal and lethal_stage, or neither."
        table.fault("SPE-026", f"{allele.name}: lethal and lethal_stage go together.", hint, "lethal_stage")
    table.close()
    return allele


def _frequency(table: Table) -> float:
    frequency = table.number("frequency", FREQUENCY, high=0.5)
    if frequency == 0.5:
        hint = "Write a share from 0 to under 0.5; 0.002 is one gene copy in 500."
        table.fault("SPE-013", "frequency is 0.5 and must be less.", hint, "frequency", frequency)
    return frequency


def _flag(data: object, owner: Table, mark: Mark) -> Flag:
    # What a paper says of a gene's place is not what it says of its harm: a flag never inherits "published".
    table = Table(data, f"{owner.where}.flags", owner.faults, Mark.COMMON if mark is Mark.PUBLISHED else mark)
    flag = Flag(
        kind=table.one_of("kind", FLAG_KINDS),
        copies=int(table.number("copies", 1, low=1, high=2)),
        text=table.text("text", required=True),
        mark=table.mark(),
        source=table.text("source"),
    )
    if not table.has("kind"):
        table.fault("SPE-010", "A flag has no kind.", f"Use one of {', '.join(FLAG_KINDS)}.", "kind")
    table.close()
    return flag


def placed(alleles: Mapping[str, Allele], loci: Mapping[str, Any], faults: list[Fault]) -> dict[str, Allele]:
    """Alleles at loci that exist; one at an unknown locus is a fault and goes on as a locus of its own."""
    found: dict[str, Allele] = {}
    for key, allele in alleles.items():
        if allele.locus in loci or allele.locus == key:
            found[key] = allele
            continue
        what = f"There is no locus {allele.locus!r}."
        hint = "Name a locus of the file, add it under [locus], or leave it out for a locus of its own."
        faults.append(Fault("SPE-020", what, hint, field=f"allele.{key}.locus", value=allele.locus))
        found[key] = replace(allele, locus=key)
    return found


def loci_of(data: Mapping[str, Any], alleles: Mapping[str, Allele], faults: list[Fault]) -> dict[str, Locus]:
    """Loci in file order of their first allele; an allele alone gets a locus of its own."""
    members: dict[str, list[Allele]] = {}
    for allele in alleles.values():
        members.setdefault(allele.locus, []).append(allele)
    for key in data:
        if key not in members:
            hint = "Put an allele there, or take the locus out."
            faults.append(Fault("SPE-030", f"The locus {key!r} has no allele.", hint, field=f"locus.{key}"))
    return {key: _locus(key, data.get(key, {}), tuple(inside), faults) for key, inside in members.items()}


def _locus(key: str, data: object, inside: tuple[Allele, ...], faults: list[Fault]) -> Locus:
    first = inside[0]
    table = Table(data, f"locus.{key}", faults, first.mark)
    linkage = table.raw("sex_linkage")
    locus = Locus(
        key=key,
        name=table.text("name") or (first.name if len(inside) == 1 else title_of(key)),
        alleles=tuple(allele.key for allele in inside),
        sex_linkage=None if linkage is None else _sex_linkage(linkage, table),
        gene=table.text("gene"),
        mark=table.mark(),
        source=table.text("source", first.source),
        note=table.text("note", first.note if len(inside) == 1 else ""),
        aliases=table.texts("aliases"),
    )
    table.close()
    share = math.fsum(allele.frequency for allele in inside)
    if share > NAMED_SHARE - 1e-9:  # 0.3 three times is 0.9, whatever its last binary digit
        hint = f"Lower the frequency of its alleles until they add up to less than {NAMED_SHARE:g}."
        table.fault("SPE-033", f"The named alleles of {locus.name} add up to {share:.3g}.", hint, value=share)
    return locus


def _sex_linkage(data: object, owner: Table) -> SexLinkage:
    table = Table(data, f"{owner.where}.sex_linkage", owner.faults)
    r = value_of(table.raw("r"), f"{table.where}.r", owner.faults)
    if not 0.0 <= r.low <= r.high <= 0.5:
        hint = "A recombination fraction lies between 0 and 0.5."
        table.fault("SPE-013", f"r from {r.low:g} to {r.high:g} is not possible.", hint, "r", r.value)
    linkage = SexLinkage(
        r=r,
        alpha=table.number("alpha", 1.0, low=1e-6, high=1e9, required=True),
        beta=table.number("beta", 1.0, low=1e-6, high=1e9, required=True),
    )
    table.close()
    return linkage


def combo_of(key: str, data: object, alleles: Mapping[str, Allele], faults: list[Fault]) -> Combo:
    """Combo from its table; ingredients that do not fit together are faults."""
    table = Table(data, f"combo.{key}", faults)
    found = Combo(
        key=key,
        name=table.text("name") or title_of(key),
        genotypes=_genotypes(table, alleles),
        optional=tuple(each for each in table.texts("optional") if _known(each, table, alleles, "optional")),
        aliases=table.texts("aliases"),
        mark=table.mark(),
        note=table.text("note"),
    )
    table.close()
    return found


def _genotypes(table: Table, alleles: Mapping[str, Allele]) -> dict[str, Pair]:
    """Pairs by locus from the ingredients; more than two alleles of one locus are a fault."""
    copies: dict[str, list[str]] = {}

    def add(key: str, count: int, field: str) -> None:
        if _known(key, table, alleles, field):
            copies.setdefault(alleles[key].locus, []).extend([key] * count)

    for key in table.texts("one"):
        add(key, 1, "one")
    for key in table.texts("two"):
        add(key, 2, "two")
    for pairing in table.tables("compound"):
        for key in pair_of(pairing, table, alleles, "compound") or ():
            add(key, 1, "compound")
    for locus, named in copies.items():
        if len(named) > 2:
            hint = "Name at most two alleles of a locus; one copy under `one`, both under `two`."
            what = f"{', '.join(named)}: more than two alleles of {locus}."
            table.fault("SPE-024", what, hint)
        elif len(set(named)) == 1 and len(named) == 2 and named[0] not in table.texts("two"):
            hint = "For two copies write it once, under `two`."
            table.fault("SPE-022", f"{named[0]} is named twice.", hint)
    return {locus: pair(named[0], named[1] if len(named) > 1 else "+") for locus, named in copies.items()}


def _known(key: str, table: Table, alleles: Mapping[str, Allele], field: str) -> bool:
    if key in alleles:
        return True
    from holdback.species.naming import normal_form

    near = next((each for each in alleles if normal_form(each) == normal_form(key)), "")
    hint = f"Did you mean {near}?" if near else "Use the key of an allele of the file."
    table.fault("SPE-021", f"There is no allele {key!r}.", hint, field, key)
    return False


def pair_of(data: object, table: Table, alleles: Mapping[str, Allele], field: str) -> Pair | None:
    """Two known alleles of one locus from a list of two keys; None, with a fault, if they are not."""
    if not isinstance(data, list | tuple) or len(data) != 2 or not all(isinstance(key, str) for key in data):
        table.fault("SPE-010", f"{data!r} is not a pair.", 'Write it as ["a", "b"].', field)
        return None
    first, second = data
    known_first, known_second = (_known(key, table, alleles, field) for key in data)
    if not (known_first and known_second):
        return None
    if alleles[first].locus != alleles[second].locus:
        hint = "Alleles of different loci belong under `one` or `two`."
        table.fault("SPE-031", f"{first} and {second} are not alleles of one locus.", hint, field)
        return None
    return pair(first, second)


def together_of(data: object, alleles: Mapping[str, Allele], faults: list[Fault]) -> Together:
    """Combination across loci that carriers suffer from."""
    table = Table(data, "together", faults)
    found = Together(
        alleles=tuple(key for key in table.texts("alleles") if _known(key, table, alleles, "alleles")),
        lethal=table.number("lethal"),
        lethal_stage=table.one_of("lethal_stage", STAGES),
        text=table.text("text", required=True),
        mark=table.mark(),
    )
    if bool(found.lethal) != bool(found.lethal_stage):
        hint = "Write both lethal and lethal_stage, or neither."
        table.fault("SPE-026", "lethal and lethal_stage go together.", hint, "lethal_stage")
    if len(table.texts("alleles")) < 2:
        table.fault("SPE-010", "together names fewer than two alleles.", "Name two or more.", "alleles")
    table.close()
    return found


def pairing_of(data: object, alleles: Mapping[str, Allele], faults: list[Fault]) -> PairingCaution:
    """Caution on a pairing."""
    table = Table(data, "pairing", faults)
    code = table.text("code", required=True)
    table.where = f"pairing.{code}"
    found = PairingCaution(
        code=code,
        level=table.one_of("level", LEVELS, "note"),
        sire=tuple(key for key in table.texts("sire") if _known(key, table, alleles, "sire")),
        dam=tuple(key for key in table.texts("dam") if _known(key, table, alleles, "dam")),
        message=table.text("message", required=True),
        mark=table.mark(),
        dam_only=table.flag("dam_only"),
    )
    table.close()
    return found


def not_a_gene_of(data: object, faults: list[Fault]) -> NotAGene:
    """Trade word that names no single gene."""
    table = Table(data, "not_a_gene", faults)
    found = NotAGene(
        name=table.text("name", required=True),
        aliases=table.texts("aliases"),
        text=table.text("text", required=True),
        mark=table.mark(),
    )
    table.close()
    return found


def linkage_of(data: object, loci: Mapping[str, Locus], faults: list[Fault]) -> Linkage | None:
    """Recombination between two loci; None, with a fault, if they are not two known loci."""
    table = Table(data, "linkage", faults)
    keys = table.texts("loci")
    r = value_of(table.raw("r"), "linkage.r", faults)
    table.close()
    if not 0.0 <= r.low <= r.high <= 0.5:
        hint = "A recombination fraction lies between 0 and 0.5."
        table.fault("SPE-013", f"r from {r.low:g} to {r.high:g} is not possible.", hint, "r", r.value)
    unknown = [key for key in keys if key not in loci]
    for key in unknown:
        table.fault("SPE-020", f"There is no locus {key!r}.", "Use the key of a locus of the file.", "loci", key)
    if len(keys) != 2 or len(set(keys)) != 2:
        table.fault("SPE-010", "linkage does not name two loci.", "Name two different loci.", "loci")
        return None
    return None if unknown else Linkage((keys[0], keys[1]), r)


def growth_of(data: object, faults: list[Fault]) -> tuple[GrowthRow, ...]:
    """Mass ranges of both sexes at one age."""
    table = Table(data, "growth", faults)
    age = table.number("age_months", required=True, high=1200)
    mark, source = table.mark(), table.text("source")
    rows = []
    for sex in ("male", "female"):
        bounds = table.tables(sex)
        if len(bounds) != 2 or not all(isinstance(each, int | float) for each in bounds) or bounds[0] > bounds[1]:
            table.fault("SPE-010", f"{sex} at {age:g} months is no range.", "Write [low, high] in grams.", sex)
            continue
        rows.append(GrowthRow(age, sex, float(bounds[0]), float(bounds[1]), mark, source))
    table.close()
    return tuple(rows)
