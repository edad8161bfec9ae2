"""What the papers say of ball python genes, against the species file.

Sources stand beside each value in ``species_published.json``: title-page data and abstracts of the papers named there.
The trade's combos are checked in tests/species; they have no published source.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from scipy import stats

from holdback.collection.model import Sex
from holdback.species import load
from holdback.species.model import WILD

pytestmark = pytest.mark.outside

PUBLISHED: dict[str, Any] = json.loads(Path(__file__).with_name("species_published.json").read_text("utf-8"))
REGIUS = load()


@pytest.mark.parametrize("row", PUBLISHED["genes"], ids=lambda row: row["trait"])
def test_gene__symbol_and_source(row: dict[str, str]) -> None:
    locus = REGIUS.locus_of(row["trait"])
    assert locus.gene == row["gene"]
    assert row["source"].split(", ")[-1] in REGIUS.sources[locus.source.split(", ")[0]]


@pytest.mark.parametrize("row", PUBLISHED["complement"], ids=lambda row: "-".join(row["genes"]))
def test_complement__different_genes_give_normal_double_hets(row: dict[str, Any]) -> None:
    first, second = row["genes"]
    assert REGIUS.locus_of(first).key != REGIUS.locus_of(second).key
    for gene in (first, second):
        assert REGIUS.look(REGIUS.locus_of(gene).key, (WILD, gene)).label == ""


@pytest.mark.parametrize("row", PUBLISHED["same_gene"], ids=lambda row: "-".join(row["genes"]))
def test_same_gene__the_compound_shows(row: dict[str, Any]) -> None:
    first, second = sorted(row["genes"])
    assert REGIUS.locus_of(first) is REGIUS.locus_of(second)
    assert REGIUS.look(REGIUS.locus_of(first).key, (first, second)).label != ""


def test_sex_system__males_are_xy() -> None:
    assert PUBLISHED["sex_system"]["value"] == REGIUS.sex_system
    assert REGIUS.is_heterogametic(Sex.MALE)
    assert PUBLISHED["sex_system"]["source"] in REGIUS.sources[REGIUS.sex_system_source]


def test_sex_linkage__coral_glow_is_linked_with_recombination() -> None:
    linkage = REGIUS.locus_of("coral-glow").sex_linkage
    assert linkage is not None
    assert 0 < linkage.r.value < 0.5
    assert REGIUS.alleles["coral-glow"].mark == "published"


def test_sex_linkage__prior_says_the_same_as_the_range() -> None:
    # Closed form for the mean; scipy for the 90 % range. Two digits: no beta with this mean has just these ends.
    linkage = REGIUS.loci["banana"].sex_linkage
    assert linkage is not None
    assert linkage.alpha / (linkage.alpha + linkage.beta) == pytest.approx(linkage.r.value, abs=1e-12)
    low, high = (float(stats.beta.ppf(share, linkage.alpha, linkage.beta)) for share in (0.05, 0.95))
    assert low == pytest.approx(linkage.r.low, abs=0.01)
    assert high == pytest.approx(linkage.r.high, abs=0.01)


@pytest.mark.parametrize("row", PUBLISHED["reproduction"], ids=lambda row: row["key"])
def test_reproduction__published_numbers(row: dict[str, Any]) -> None:
    value = REGIUS.reproduction[row["key"]]
    assert getattr(value, row["field"]) == pytest.approx(row["value"], abs=row["digits"])
    assert value.mark == "published"
    assert row["source"] in value.source


def test_reproduction__published_eggs_make_the_published_mean() -> None:
    # 5,344 eggs in 783 clutches, Morrill et al. 2011 as summarised in Conservation Evidence study 9927.
    assert REGIUS.reproduction["clutch_size_mean"].value == pytest.approx(5344 / 783, abs=0.005)
