"""Pedigree text that we write, read by NumPy: six columns parted by white space, no header."""

from __future__ import annotations

import io

import numpy as np

from holdback.collection.collection import Collection
from holdback.collection.ped import write_ped


def test_write_ped__read_by_numpy() -> None:
    rows = [
        {"id": "Mortar", "sex": "male"},
        {"id": "19 01", "sex": "female"},
        {"id": "22-11", "sire": "Mortar", "dam": "19 01"},
    ]
    text = write_ped(Collection.from_frames({"animals": rows})).text
    assert np.loadtxt(io.StringIO(text), dtype=str).tolist() == [
        ["1", "Mortar", "0", "0", "1", "0"],
        ["1", "19_01", "0", "0", "2", "0"],
        ["1", "22-11", "Mortar", "19_01", "0", "0"],
    ]
