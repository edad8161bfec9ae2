"""The keeper's own genes, laid over the species file."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from holdback.bridge import catalogue_of_records
from holdback.errors import RecordError
from holdback.web.records.models import Animal, Change, GeneChange
from holdback.web.records.services import change_gene, undo

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"


def test_change_gene__a_new_one_is_read_in_the_texts(db: None, add: Callable[..., Animal]) -> None:
    animal = add("A7", genes="Emberfold Pastel")
    assert [look.allele for look in animal.looks.all()] == ["pastel"]
    change_gene(who=WHO, key="emberfold", patch={"name": "Emberfold", "inheritance": "incomplete dominant"})
    assert catalogue_of_records().alleles["emberfold"].name == "Emberfold"
    assert {look.allele for look in animal.looks.all()} == {"pastel", "emberfold"}
    undo(Change.objects.latest("id"), who=WHO)
    assert "emberfold" not in catalogue_of_records().alleles
    assert [look.allele for look in animal.looks.all()] == ["pastel"]


def test_change_gene__refused_with_the_faults_of_the_catalogue() -> None:
    with pytest.raises(RecordError, match="SPE-"):
        change_gene(who=WHO, key="emberfold", patch={"name": "Emberfold", "inheritance": "sideways"})
    assert not GeneChange.objects.exists()


def test_change_gene__alter_and_take_back() -> None:
    change_gene(who=WHO, key="pastel", patch={"note": "ours fade late"})
    assert catalogue_of_records().alleles["pastel"].note == "ours fade late"
    change_gene(who=WHO, key="pastel", patch={"note": "ours fade"})
    assert GeneChange.objects.count() == 1
    assert change_gene(who=WHO, key="pastel", patch=None) is None
    assert catalogue_of_records().alleles["pastel"].note != "ours fade"
    with pytest.raises(RecordError, match="no change to 'pastel' is recorded"):
        change_gene(who=WHO, key="pastel", patch=None)
