"""Pairs of chromosomes from the rows of a species file."""

from __future__ import annotations

from collections import Counter

from holdback.errors import Fault
from holdback.species.fields import Table
from holdback.species.model import ChromosomePair, Value

LEAST, MOST = 1e-3, 1e6
"""Bounds of lengths, in Morgan and in million base pairs: above nothing, and no slip of the pen."""


def chromosome_pairs_of(top: Table, whole: Value | None, faults: list[Fault]) -> tuple[ChromosomePair, ...]:
    """Pairs of chromosomes in file order.

    Parameters
    ----------
    top : Table
        The species file.
    whole : Value or None
        Length of the whole map in Morgan, if the file states it.
    faults : list of Fault
        Faults are added here: SPE-010 and SPE-013 for a number, SPE-035 for a name that stands twice, and for rows
        without the length of the whole map or the reverse.
    """
    pairs = tuple(_pair_of(each, faults) for each in top.tables("chromosome"))
    for name, count in Counter(pair.name for pair in pairs).items():
        if count > 1:
            hint = "Give every pair a name of its own."
            faults.append(Fault("SPE-035", f"The chromosome {name!r} stands twice.", hint, field="chromosome.name"))
    if bool(pairs) != (whole is not None):
        what = "There are chromosomes and no map_length_morgan." if pairs else "There is no row of [[chromosome]]."
        hint = "Write both map_length_morgan under [chromosomes] and a [[chromosome]] for each pair, or neither."
        faults.append(Fault("SPE-035", what, hint, field="chromosome"))
    if whole is not None and whole.low <= 0:
        what, where = f"map_length_morgan from {whole.low:g} is not possible.", "chromosomes.map_length_morgan"
        faults.append(Fault("SPE-013", what, "Write lengths above 0.", field=where, value=f"{whole.low:g}"))
    return pairs


def _pair_of(data: object, faults: list[Fault]) -> ChromosomePair:
    table = Table(data, "chromosome", faults)
    name = table.text("name", required=True)
    table.where = f"chromosome.{name}"
    found = ChromosomePair(
        name=name,
        morgan=table.number("morgan", 1.0, low=LEAST, high=MOST, required=True),
        dna_mb=table.number("dna_mb", 1.0, low=LEAST, high=MOST, required=True),
        mark=table.mark(),
        source=table.text("source"),
        note=table.text("note"),
    )
    table.close()
    return found
