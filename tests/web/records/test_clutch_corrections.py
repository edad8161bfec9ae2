"""A clutch corrected, with what was written down for the day it was laid."""

from __future__ import annotations

import uuid

import pytest

from holdback.errors import RecordError

WHO = "Wren"


@pytest.mark.django_db
def test_correct_clutch__moves_the_laying_and_is_taken_back_whole() -> None:
    from holdback.web.records.models import Clutch, Measurement, Observation
    from holdback.web.records.services import add_animal, correct_clutch, lay_clutch, undo

    dam = add_animal(who=WHO, tag="17-02", sex="female", hatched="2017")
    nest = lay_clutch(who=WHO, dam=dam, laid="2026-04-02", eggs=3, slugs={"3"}, dam_mass_g=1300)
    batch = uuid.uuid4()
    correct_clutch(nest, who=WHO, batch=batch, laid="2026-04-05", eggs=4)

    def days() -> tuple[str, ...]:
        clutch = Clutch.objects.get()
        slug = clutch.egg_records.get(mark="3")
        return clutch.laid, slug.ended, Observation.objects.get().date, Measurement.objects.get().date

    assert days() == ("2026-04-05",) * 4
    undo(batch, who=WHO)
    assert days() == ("2026-04-02",) * 4
    assert Clutch.objects.get().eggs == 3


@pytest.mark.django_db
def test_correct_clutch__refused_changes_nothing() -> None:
    from holdback.web.records.models import Clutch, Observation
    from holdback.web.records.services import add_animal, correct_clutch, lay_clutch

    dam = add_animal(who=WHO, tag="17-02", sex="female", hatched="2017")
    nest = lay_clutch(who=WHO, dam=dam, laid="2026-04-02", eggs=3)
    with pytest.raises(RecordError, match="REC-014"):
        correct_clutch(nest, who=WHO, laid="2026-04-05", eggs=-4)
    assert Clutch.objects.get().laid == Observation.objects.get().date == "2026-04-02"
