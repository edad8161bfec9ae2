"""What the almanac says of how far records are trusted."""

from __future__ import annotations

from holdback.species.catalogue import Catalogue
from holdback.species.model import Value
from holdback.web.pages.components import Column, Table
from holdback.web.pages.gene_page import citations
from holdback.web.pages.wording import quantity, span

_WORDS = {
    "claim_trust": "A seller’s word on hidden genes holds",
    "look_error": "Another look of the gene is written down",
    "sex_error": "A recorded sex is wrong",
    "wrong_parent": "A recorded parent is not the parent",
    "stored_sperm": "Last season’s male sired this clutch",
    "no_sire": "A clutch has no sire",
    "second_division": "No sire, dam with one copy: a young has one too",
    "mixed_clutch": "A clutch has more than one sire",
    "line_unclaimed": "An animal that nobody calls of a line is of it",
}


def trust_table(catalogue: Catalogue) -> Table:
    """Chance taken for each kind of wrong record, its range, standing and ground."""
    columns = [
        Column("What is taken"),
        Column("Chance, %", is_number=True),
        Column("Range, %", is_number=True),
        Column("Standing", is_full=True),
        Column("Ground", is_full=True),
    ]
    return Table(columns, [_line(_WORDS[key], value, catalogue) for key, value in catalogue.records.items()])


def _line(words: str, value: Value, catalogue: Catalogue) -> list[str]:
    ground = " ".join(part for part in (value.note, citations(value.source, catalogue) if value.source else "") if part)
    # A value of the keeper's own often comes without a range: then none is printed.
    spread = span(100 * value.low, 100 * value.high, 3) if value.low < value.high else ""
    return [words, quantity(100 * value.value, "", 3), spread or "none given", value.mark.value, ground or "none given"]
