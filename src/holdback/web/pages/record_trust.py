"""What the almanac says of how far records are trusted, of which weights count, and of the chromosomes."""

from __future__ import annotations

from collections.abc import Mapping

from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString

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

_SIZE = {
    "gravid_window_days": "A weight does not count before laying for",
    "recovery_window_days": "A weight does not count after laying for",
    "empty_after_meal_days": "A weight does not count after a meal for",
    "ordinary_length_cm": "An ordinary grown animal, snout to vent",
    "ordinary_mass_g": "The same animal’s mass",
}

_DECISIONS = {
    "young_lives": "A young held back lives its first year",
    "adult_lives": "A grown animal lives a year",
    "plan_threshold_seasons": "Seasons a new plan must gain to take the old one’s place",
    "plan_threshold_points": "The same, in points of 100",
    "horizon_seasons": "Seasons beyond which a goal is out of reach",
    "bad_year_z": "Deviations over the mean that places are kept for",
    "idea_combo": "Ideas: worth of a trade name",
    "idea_hard_to_see": "Ideas: what is left of a tag that is hard to see",
    "idea_recessive": "Ideas: taken off for a recessive",
    "idea_hides": "Ideas: taken off where young hide their genes",
    "idea_cautioned": "Ideas: taken off for a pairing that needs a word",
    "idea_least_chance": "Ideas: least chance from which a gene counts as had",
}

_CHROMOSOMES = {
    "number": "Chromosomes",
    "map_length_morgan": "Length of the whole map, Morgan",
    "same_chromosome_chance": "Two places lie on one chromosome",
}


def words_for(key: str) -> str:
    """What a number of the species file is called on a page; its own key where a file has one of its own."""
    return {**_WORDS, **_SIZE, **_DECISIONS, **_CHROMOSOMES}.get(key, key.replace("_", " "))


def trust_table(catalogue: Catalogue) -> Table:
    """Chance taken for each kind of wrong record, its range, standing and ground."""
    columns = [
        Column("What is taken"),
        Column("Chance, %", is_number=True),
        Column("Range, %", is_number=True),
        Column("Standing", is_full=True),
        Column("Ground", is_full=True),
    ]
    return Table(columns, [_line(key, value, catalogue) for key, value in catalogue.records.items()])


def size_table(catalogue: Catalogue) -> Table:
    """Days in which a weight does not count, and the ordinary animal, each with its range, standing and ground."""
    return _numbers("size", catalogue.size, _SIZE, decimals=0)


def decisions_table(catalogue: Catalogue) -> Table:
    """What plans and ideas count on, each number with its range, standing and ground."""
    return _numbers("decisions", catalogue.decisions, _DECISIONS, decimals=3)


def _numbers(kind: str, values: Mapping[str, Value], words: Mapping[str, str], *, decimals: int) -> Table:
    """Assumed numbers of one kind."""
    columns = [
        Column("What is taken"),
        Column("Number", is_number=True),
        Column("Range", is_number=True),
        Column("Standing", is_full=True),
        Column("Ground", is_full=True),
    ]
    rows = []
    for key, value in values.items():
        spread = span(value.low, value.high, decimals) if value.low < value.high else "none given"
        said = quantity(value.value, value.unit, decimals)
        rows.append([_changed_at(kind, key, words[key]), said, spread, value.mark.value, value.note or "none given"])
    return Table(columns, rows)


def builds_table(catalogue: Catalogue) -> Table | None:
    """Which looks build on each other; None where the species file says nothing of it."""
    columns = [Column("What it has"), Column("Gains by", is_full=True), Column("Standing")]
    rows = [
        [row.has, ", ".join(f"{tag} ({quantity(weight, '', 1)})" for tag, weight in row.wants), row.mark.value]
        for row in catalogue.builds
    ]
    return Table(columns, rows) if rows else None


def _changed_at(kind: str, key: str, words: str) -> SafeString:
    """What a number is called, as a link to its form."""
    return format_html('<a href="{}">{}</a>', reverse("pages:change-assumed", args=[kind, key]), words)


def _line(key: str, value: Value, catalogue: Catalogue) -> list[str]:
    ground = " ".join(part for part in (value.note, citations(value.source, catalogue) if value.source else "") if part)
    # A value of the keeper's own often comes without a range: then none is printed.
    spread = span(100 * value.low, 100 * value.high, 3) if value.low < value.high else ""
    chance = quantity(100 * value.value, "", 3)
    words = _changed_at("records", key, _WORDS[key])
    return [words, chance, spread or "none given", value.mark.value, ground or "none given"]


def chromosome_table(catalogue: Catalogue) -> Table | None:
    """Pairs of chromosomes with their lengths; None where the species file has none."""
    if not catalogue.chromosome_pairs:
        return None
    whole = catalogue.chromosomes["map_length_morgan"]
    spread = f"{span(whole.low, whole.high, 2)}" if whole.low < whole.high else "none given"
    rows = [
        [
            _changed_at("chromosomes", "map_length_morgan", "The whole map"),
            quantity(whole.value, "", 2),
            spread,
            "",
            whole.mark.value,
        ]
    ]
    rows += [
        [
            _changed_at("chromosome", pair.name, f"Pair {pair.name}"),
            quantity(pair.morgan, "", 2),
            "",
            quantity(pair.dna_mb, "", 0),
            pair.mark.value,
        ]
        for pair in catalogue.chromosome_pairs
    ]
    heads = [
        Column("What is taken"),
        Column("Morgan", is_number=True),
        Column("Range", is_number=True),
        Column("DNA, Mb", is_number=True),
        Column("Standing"),
    ]
    return Table(heads, rows)
