"""What the page of a gene says of its pairings and of its standing."""

import pytest

from holdback.species.catalogue import load
from holdback.web.pages import gene_page


@pytest.mark.parametrize("key, lost", [("spider", "is lost"), ("hidden-gene-woma", "hatches and dies")])
def test_pairing_rows__two_copies_that_die_are_not_counted_as_showing(key: str, lost: str) -> None:
    """Carrier with carrier where two copies die: 2 in 3 of the living show (genes dossier, section 2f)."""
    catalogue = load()
    row = gene_page.pairing_rows(catalogue.alleles[key], catalogue)[0]
    assert row.odds == "1 in 2"
    assert row.why == f"1 in 4 eggs {lost}: two copies. It shows in 2 in 3 of the young that live."


def test_standing_table__published_gene_does_not_lend_its_mark_to_the_grouping() -> None:
    catalogue = load()
    lines = {line[0]: line[1:] for line in gene_page.standing_table(catalogue.alleles["clown"], catalogue).rows}
    assert lines["The gene is MC1R"][0] == "published"
    assert lines["It shares its place with Cryptic"] == ["from memory", "none"]


def test_standing_table__unpublished_class_names_no_source() -> None:
    catalogue = load()
    first = gene_page.standing_table(catalogue.alleles["spider"], catalogue).rows[0]
    assert first[1:] == ["common practice, no source", "none"]
