"""Species file to `Catalogue`: reads every table, checks that they hold together, reports all faults at once."""

from __future__ import annotations

import hashlib
import json
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from holdback.errors import Fault, SpeciesError
from holdback.species import parts
from holdback.species.changes import marked
from holdback.species.chromosomes import chromosome_pairs_of
from holdback.species.deciding import builds_of, decisions_of
from holdback.species.feeding import feeding_of
from holdback.species.fields import Table, value_of
from holdback.species.looks import NamedLook, look_of, named_pairs, standing_for
from holdback.species.model import Allele, Combo, Locus, Mark, pair
from holdback.species.naming import index_of, normal_form, slug_of
from holdback.species.trust import records_of
from holdback.species.weighing import size_of
from holdback.species.wild_range import wild_range_of

FORMAT = 1
"""Version of the file format that this release reads."""


def file_data(key: str) -> dict[str, Any]:
    """Tables of a species file that ships with the package.

    Parameters
    ----------
    key : str
        File name without its ending, such as "python_regius".

    Raises
    ------
    SpeciesError
        If there is no such file (SPE-001), or it is not TOML (SPE-002).
    """
    folder = Path(__file__).parent
    known = sorted(each.stem for each in folder.glob("*.toml"))
    if key not in known:
        hint = f"Known species: {', '.join(known)}."
        raise SpeciesError(Fault("SPE-001", f"There is no species file {key!r}.", hint, field="species", value=key))
    try:
        return tomllib.loads((folder / f"{key}.toml").read_text("utf-8"))
    except tomllib.TOMLDecodeError as fault:
        what = f"The species file is not valid TOML: {fault}."
        raise SpeciesError(Fault("SPE-002", what, "Correct the line.", file=f"{key}.toml")) from fault


def catalogue_parts(data: Mapping[str, Any]) -> dict[str, Any]:
    """Fields of a `Catalogue` from the tables of a species file.

    Parameters
    ----------
    data : mapping
        Tables as parsed, changes already laid over.

    Raises
    ------
    SpeciesError
        With every fault found.
    """
    faults: list[Fault] = []
    top = Table(marked(data), "", faults)
    head = _head(top)
    groups = top.table("group")
    alleles = {
        key: parts.allele_of(key, parts.grouped(each, groups, f"allele.{key}", faults), faults)
        if isinstance(each, Mapping)
        else parts.allele_of(key, each, faults)
        for key, each in top.table("allele").items()
    }
    placed = parts.placed(alleles, top.table("locus"), faults)
    loci = parts.loci_of(top.table("locus"), placed, faults)
    stands = standing_for(placed, faults)
    found = (look_of(each, placed, loci, faults) for each in top.tables("look"))
    looks = tuple(look for look in found if look is not None)
    combos = _combos(top, placed, looks, faults)
    not_genes = tuple(parts.not_a_gene_of(each, faults) for each in top.tables("not_a_gene"))
    names, clashes = index_of([*placed.values(), *combos.values(), *not_genes])
    faults += clashes
    linkages = (parts.linkage_of(each, loci, faults) for each in top.tables("linkage"))
    chromosomes = _values(top, "chromosomes", faults)
    fields = {
        **head,
        "loci": loci,
        "alleles": placed,
        "combos": combos,
        "together": tuple(parts.together_of(each, placed, faults) for each in top.tables("together")),
        "pairing_cautions": _unique(
            tuple(parts.pairing_of(each, placed, faults) for each in top.tables("pairing")), faults
        ),
        "not_genes": not_genes,
        "linkages": tuple(each for each in linkages if each is not None),
        "reproduction": _values(top, "reproduction", faults),
        "growth": tuple(row for each in top.tables("growth") for row in parts.growth_of(each, faults)),
        "feeding": feeding_of(top, faults),
        "chromosomes": chromosomes,
        "chromosome_pairs": chromosome_pairs_of(top, chromosomes.get("map_length_morgan"), faults),
        "records": records_of(top, faults),
        "size": size_of(top, faults),
        "decisions": decisions_of(top, faults),
        "builds": builds_of(top, faults),
        "wild_range": wild_range_of(top, faults),
        "digest": digest_of(data),
        "_data": data,
        "_names": names,
        "_stands": stands,
        "_named_looks": named_pairs(looks, stands, faults),
    }
    top.close()
    faults += _unsourced([*placed.values(), *loci.values()], head["sources"])
    if faults:
        raise SpeciesError(faults)
    return fields


def _head(top: Table) -> dict[str, Any]:
    """Names, sex system, notes and sources."""
    version = top.number("format", required=True, low=1, high=1e6)
    if version != FORMAT:
        top.fault("SPE-003", f"The file has format {version:g}.", f"This release reads format {FORMAT}.", "format")
    return {
        "key": top.text("key", required=True),
        "name": top.text("name", required=True),
        "common_name": top.text("common_name", required=True),
        "species_words": top.texts("species_words"),
        "sex_system": top.one_of("sex_system", ("XY", "ZW"), "XY"),
        "default_mark": top.choice("default_mark", Mark, Mark.COMMON),
        "sex_system_source": top.text("sex_system_source"),
        "notes": _texts(top, "notes"),
        "sources": _texts(top, "sources"),
    }


def _texts(top: Table, name: str) -> dict[str, str]:
    table = Table(top.table(name), name, top.faults)
    return {key: table.text(key) for key in top.table(name)}


def _values(top: Table, name: str, faults: list[Fault]) -> dict[str, Any]:
    return {key: value_of(each, f"{name}.{key}", faults) for key, each in top.table(name).items()}


def _combos(
    top: Table, alleles: Mapping[str, Allele], looks: Iterable[NamedLook], faults: list[Fault]
) -> dict[str, Combo]:
    """Combos of the file, and those that follow from names of two-copy forms and of single pairs."""
    combos = {key: parts.combo_of(key, each, alleles, faults) for key, each in top.table("combo").items()}
    taken = {normal_form(combo.name) for combo in combos.values()}
    derived = [_from_allele(allele) for allele in alleles.values() if allele.two_copies_name and not allele.same_as]
    derived += [_from_look(named) for named in looks if named.names_pair and not _is_plain_super(named, alleles)]
    for combo in derived:
        if normal_form(combo.name) not in taken:
            taken.add(normal_form(combo.name))
            combos[combo.key] = combo
    return combos


def _from_allele(allele: Allele) -> Combo:
    name = allele.two_copies_name
    return Combo(slug_of(name), name, {allele.locus: pair(allele.key, allele.key)}, mark=allele.mark)


def _from_look(named: NamedLook) -> Combo:
    look, locus = named.look, named.look.key.partition(":")[0]
    return Combo(
        slug_of(look.label), look.label, {locus: named.pairs[0]}, aliases=named.aliases, mark=look.mark, note=named.note
    )


def _is_plain_super(named: NamedLook, alleles: Mapping[str, Allele]) -> bool:
    return any(named.look.label == f"Super {alleles[key].name}" for key in named.look.alleles)


def _unique(cautions: tuple[Any, ...], faults: list[Fault]) -> tuple[Any, ...]:
    seen: set[str] = set()
    for caution in cautions:
        if caution.code in seen:
            hint = "Give every caution a code of its own."
            faults.append(Fault("SPE-032", f"The code {caution.code!r} stands twice.", hint, field="pairing.code"))
        seen.add(caution.code)
    return cautions


def _unsourced(entries: Iterable[Allele | Locus], sources: Mapping[str, str]) -> list[Fault]:
    """A fault for every entry that calls itself published without a source of the list."""
    faults = []
    for entry in entries:
        cited = [key.strip() for key in entry.source.split(",") if key.strip()]
        if entry.mark is Mark.PUBLISHED and (not cited or any(key not in sources for key in cited)):
            what = f"{entry.name} is marked published, with source {entry.source!r}."
            hint = "Name a key of [sources], or use another mark."
            faults.append(Fault("SPE-028", what, hint, field=f"{entry.key}.source", value=entry.source))
    return faults


def digest_of(data: Mapping[str, Any]) -> str:
    """SHA-256 of the tables in a canonical form, as hex digits."""
    text = json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"), default=str)
    return hashlib.sha256(text.encode()).hexdigest()
