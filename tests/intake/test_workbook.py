from __future__ import annotations

import string
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as st

from holdback.collection.collection import Collection
from holdback.collection.model import Animal, Measurement, PartialDate, Records, Trait
from holdback.intake import read_sheets
from holdback.intake.workbook import is_collection, read_collection, write_workbook

TEXTS = st.text(alphabet=string.ascii_letters + string.digits + " '=+-@,;|\"é\n", max_size=20).map(str.strip)
ID = st.text(alphabet=string.ascii_uppercase + string.digits + "-.", min_size=1, max_size=8)
IDS = st.lists(ID, min_size=1, max_size=4, unique=True)


@settings(max_examples=25)
@given(IDS, st.data())
def test_write_workbook__reads_back_as_the_same_collection(ids: list[str], data: st.DataObject) -> None:
    animals = tuple(Animal(each, name=data.draw(TEXTS).replace("\n", " "), notes=data.draw(TEXTS)) for each in ids)
    value = data.draw(st.floats(min_value=0.01, max_value=9000, allow_nan=False))
    readings = (Measurement(ids[0], PartialDate(2026, 5), Trait.MASS, value, "oz"),)
    source = Collection.from_records(Records(animals=animals, measurements=readings))
    with TemporaryDirectory() as folder:
        path = Path(folder) / "out.xlsx"
        write_workbook(source, path)
        sheets = read_sheets(path)
    assert is_collection(sheets)
    assert read_collection(sheets).digest == source.digest
