"""The keeper's log and clutch list as CSV, and what a right import of each row ends with, as TOML.

All rows are written by hand; the expectation stands beside the cells and is not worked out by the import. The log has
three ways of writing a day, ids and names mixed, gram and ounces, short words, and slips.
"""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass, field
from pathlib import Path

LOG_HEADINGS = ("When", "Who", "What", "How much", "Remarks")
CLUTCH_HEADINGS = (
    "Clutch", "Dam", "Sire", "Laid", "Eggs", "Slugs", "Hatched", "# hatched", "Incubator", "Box", "Temp", "Remarks",
)  # fmt: skip
FIRST_ROW = 3


@dataclass(frozen=True)
class SheetRow:
    """One row: its cells, and what is expected of it."""

    cells: tuple[str, ...]
    expected: dict[str, object] = field(default_factory=dict)


def write_messy_log(folder: Path) -> None:
    """Write ``messy-log.csv``, ``messy-clutches.csv`` and their ``-expected.toml``."""
    for name, headings, rows in (
        ("log", LOG_HEADINGS, [*_FEEDING, *_SPRING, *_ODD]),
        ("clutches", CLUTCH_HEADINGS, _CLUTCHES),
    ):
        title = f"Wrackline Barn - {name} (invented)"
        (folder / f"messy-{name}.csv").write_bytes(_csv(title, headings, rows))
        (folder / f"messy-{name}-expected.toml").write_text(_expected(name, rows), encoding="utf-8", newline="\n")


def _csv(title: str, headings: tuple[str, ...], rows: list[SheetRow]) -> bytes:
    """Title, headings and rows with commas."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    for cells in [(title,), headings, *(row.cells for row in rows)]:
        writer.writerow([*cells, *[""] * (len(headings) - len(cells))])
    return out.getvalue().encode("utf-8")


def _expected(name: str, rows: list[SheetRow]) -> str:
    """Expectation of each row, with its number in the sheet."""
    lines = [
        f"# What a right import of messy-{name}.csv ends with, row by row. Written by demo/make_demo.py.",
        "# asks: must not land as it stands without a question; left_out: lands nothing, with this reason.",
        f"first_row = {FIRST_ROW}",
    ]
    for number, row in enumerate(rows, start=FIRST_ROW):
        lines += ["", "[[row]]", f"row = {number}"]
        lines += [f"{key} = {json.dumps(value, ensure_ascii=False)}" for key, value in row.expected.items()]
    return "\n".join(lines) + "\n"


def _said(*cells: str, animal: str, day: str, kind: str, note: str = "", value: float | None = None, unit: str = "",
          taken: bool | None = None) -> SheetRow:  # fmt: skip
    """Row that becomes one event; `taken` only of meals."""
    expected: dict[str, object] = {"animal": animal, "date": day, "kind": kind, "note": note}
    if value is not None:
        expected |= {"value": value, "unit": unit}
    if taken is not None:
        expected["taken"] = taken
    return SheetRow(cells, expected)


def _weight(*cells: str, animal: str, day: str, mass: float, unit: str) -> SheetRow:
    """Row that becomes one weight."""
    return SheetRow(cells, {"animal": animal, "date": day, "mass": mass, "unit": unit})


def _asks(about: str, *cells: str) -> SheetRow:
    """Row that must not land as it stands."""
    return SheetRow(cells, {"asks": about})


def _meals(when: str, day: str, *meals: tuple[str, str, str, str, str, bool]) -> list[SheetRow]:
    """One feeding night: who as written, id, what, how much, note, and whether it was taken."""
    return [
        _said(when, who, what, much, animal=animal, day=day, kind="meal", note=note, taken=taken)
        for who, animal, what, much, note, taken in meals
    ]


_FEEDING = [
    *_meals(
        "3/28/26",
        "2026-03-28",
        ("Mortar", "16-01", "fd", "1 rat L", "1 rat L", True),
        ("16-02", "16-02", "fd", "1 rat L", "1 rat L", True),
        ("Quill", "17-02", "ref", "1 rat M", "refused, 1 rat M", False),
        ("brindle", "17-04", "fd", "1 rat M", "1 rat M", True),
        ("17-06", "17-06", "1 rat M", "", "1 rat M", True),
        ("Pintail 18-07", "18-07", "fed 1 med rat", "", "1 med rat", True),
        ("Magpie", "18-08", "refused", "", "refused", False),
        ("Flint", "19-05", "ate", "2 mice", "2 mice", True),
        ("Umber", "22-11", "fed", "1 rat M", "1 rat M", True),
    ),
    *_meals(
        "4 April 2026",
        "2026-04-04",
        ("Mortar", "16-01", "ref", "", "refused", False),
        ("Peat", "16-02", "fd", "1 rat L", "1 rat L", True),
        ("17-04", "17-04", "fd 1 rat M", "", "1 rat M", True),
        ("Hearth", "17-06", "FD", "1 rat M", "1 rat M", True),
        ("18-07", "18-07", "fed 1 rat M, refused", "", "1 rat M, refused", False),
        ("Juniper", "19-12", "Fed", "1 rat S", "1 rat S", True),
        ("Flint", "19-05", "ate 2 mice", "", "2 mice", True),
        ("Gossamer", "20-24", "regurg", "", "regurgitated", False),
    ),
    *_meals(
        "2026-04-11",
        "2026-04-11",
        ("Mortar", "16-01", "fd", "1 rat L", "1 rat L", True),
        ("Peat", "16-02", "did not eat", "", "refused", False),
        ("Brindle", "17-04", "fd", "1 rat M", "1 rat M", True),
        ("Hearth", "17-06", "fd", "f/t rat", "f/t rat", True),
        ("Pintail", "18-07", "fd", "1 rat M", "1 rat M", True),
        ("Yarrow", "19-18", "1 rat S", "", "1 rat S", True),
        ("Gossamer", "20-24", "hopper x 1", "", "hopper x 1", True),
    ),
    _said("4/18/26", "Mortar", "fed 180 g rat", animal="16-01", day="2026-04-18", kind="meal", note="180 g rat",
          value=180.0, unit="g", taken=True),
    _said("4/18/26", "Peat", "fd", "150 g", animal="16-02", day="2026-04-18", kind="meal", value=150.0, unit="g",
          taken=True),
    _said("4/18/26", "17-04", "fed 2 x 45 g rats", animal="17-04", day="2026-04-18", kind="meal",
          note="2 x 45 g rats", taken=True),
]  # fmt: skip

_SPRING = [
    _weight("4/19/26", "Mortar", "wt", "81.5 oz", animal="16-01", day="2026-04-19", mass=81.5, unit="oz"),
    _weight("4/19/26", "Peat", "weighed", "3480", animal="16-02", day="2026-04-19", mass=3480.0, unit="g"),
    _weight("4/19/26", "Quill", "wt 1945", animal="17-02", day="2026-04-19", mass=1945.0, unit="g"),
    _weight("4/19/26", "Brindle", "wt", "36.4 oz", animal="17-04", day="2026-04-19", mass=36.4, unit="oz"),
    _weight("4/19/26", "Hearth", "2130 g", animal="17-06", day="2026-04-19", mass=2130.0, unit="g"),
    _weight("4/19/26", "22-11", "Weight", "3105", animal="22-11", day="2026-04-19", mass=3105.0, unit="g"),
    _said("20 April 2026", "Mortar", "shed", animal="16-01", day="2026-04-20", kind="shed"),
    _said("20 April 2026", "Hearth", "blue", animal="17-06", day="2026-04-20", kind="in shed"),
    _said("20 April 2026", "18-07", "bad shed", "", "eye cap left", animal="18-07", day="2026-04-20", kind="shed",
          note="bad shed; eye cap left"),
    _said("4/21/26", "Umber", "US", "31 mm", "6 follicles", animal="22-11", day="2026-04-21", kind="ultrasound",
          value=31.0, unit="mm", note="6 follicles"),
    _said("4/21/26", "Magpie", "us 18", animal="18-08", day="2026-04-21", kind="ultrasound", value=18.0, unit="mm"),
    _said("4/4/26", "22-11", "locked w/ 22-05", animal="22-11", day="2026-04-04", kind="lock", note="22-05"),
    _said("3/8/26", "22-05", "lock", "", "with Umber", animal="22-11", day="2026-03-08", kind="lock", note="22-05"),
    _said("4/24/26", "Juniper", "ov", animal="19-12", day="2026-04-24", kind="ovulation"),
    _said("5/9/26", "Juniper", "PLS", animal="19-12", day="2026-05-09", kind="pre-lay shed"),
    _said("5/10/26", "Juniper", "lay box in", animal="19-12", day="2026-05-10", kind="nest box"),
    _said("4/25/26", "Pintail", "treated", "", "eye, vet drops 5 days", animal="18-07", day="2026-04-25",
          kind="treatment", note="eye, vet drops 5 days"),
    _said("4/24/26", "Pintail", "vet", "", "eye cap came off", animal="18-07", day="2026-04-24", kind="vet",
          note="eye cap came off"),
    _said("4/26/26", "Quill", "cleaned", animal="17-02", day="2026-04-26", kind="cleaned"),
]  # fmt: skip

_ODD = [
    _asks("nobody is called Umbre", "4/27/26", "Umbre", "fd", "1 rat M"),
    _asks("the row names nobody", "4/27/26", "", "fd", "1 rat M"),
    _asks("odd is no happening", "4/27/26", "Mortar", "odd"),
    _asks("no calendar has 31 April", "4/31/26", "Mortar", "fd", "1 rat L"),
    _asks("52.1 has no unit and is too little for gram", "4/28/26", "Brindle", "wt", "52.1"),
    _asks("heavy is no weight", "4/28/26", "Hearth", "wt heavy"),
    _asks("314 lacks a figure", "4/28/26", "22-11", "wt", "314"),
    _asks("no day", "", "Flint", "shed"),
    SheetRow(("3/28/26", "22-11", "fed", "1 rat M"), {"left_out": "says the same as row 11"}),
    SheetRow(("4/29/26", "Flint", "", "", ""), {"left_out": "says nothing that happened"}),
    SheetRow(("May",), {"left_out": "a heading, nothing that happened"}),
    _said("5/2/26", "Flint", "shed", animal="19-05", day="2026-05-02", kind="shed"),
    _said(
        "5/14/26", "Yarrow", "moved to rack 4", animal="19-18", day="2026-05-14", kind="moved", note="room 1 / rack 4"
    ),
    _said("5/3/26", "yarrow", "clean shed", animal="19-18", day="2026-05-03", kind="shed"),
]


def _clutch(*cells: str, **expected: object) -> SheetRow:
    """Row that becomes a clutch, or fills one in."""
    return SheetRow(cells, {"id": cells[0], **expected})


_CLUTCHES = [
    _clutch("25-01", "22-06", "20-10", "2025-04-19", "6", "0", "2025-06-19", same=True),
    _clutch("25-04", "21-06", "20-10", "24 May 2025", "6", "1", "23 July 2025", same=True),
    _clutch("26-01", "Quill", "20-07", "4/2/26", "7+1", same=True),
    _clutch("26-02", "21-03", "22-05", "4/30/26", "5", "0", "", "", "", "", "", "first clutch", same=False,
            note="clutch 26-02: first clutch"),
    _clutch("26-05", "Hearth", "Brindle", "2026-05-09", "7", "1", "", "", "3", "2", "89F", same=False, dam="17-06",
            sires=["17-04"], laid="2026-05-09", eggs=7, slugs=1, box="incubator 3 / box 2", celsius=31.67),
    _clutch("26-06", "Magpie", "Pintail or Flint", "11 May 2026", "6", "0", "", "", "1", "4", "31.5 C", same=False,
            dam="18-08", sires=["18-07", "19-05"], laid="2026-05-11", eggs=6, slugs=0,
            box="egg room / incubator 1 / box 4", celsius=31.5),
    _clutch("20-90", "Peat", "Mortar", "5/3/20", "7", "0", "6/30/20", "7", same=False, dam="16-02", sires=["16-01"],
            laid="2020-05-03", eggs=7, slugs=0, hatched="2020-06-30", n_hatched=7),
    _asks("3 hatched of 2", "20-91", "Hearth", "Brindle", "5/13/20", "2", "0", "7/8/20", "3"),
    _asks("hatched before it was laid", "20-92", "Magpie", "Pintail", "7/20/20", "6", "0", "5/21/20", "6"),
    _asks("the dam is a male", "26-07", "Mortar", "", "2026-05-12", "5", "0"),
    _asks("26-01 is of another dam", "26-01", "Juniper", "20-07", "2026-05-12", "5", "0"),
    _asks("Baroness is not on record", "26-08", "Baroness", "Mortar", "2026-05-12", "5", "0"),
    _asks("no clutch id", "", "Gossamer", "Yarrow", "2026-05-13", "5", "0"),
    SheetRow(("Total", "", "", "", "62"), {"left_out": "a total, no clutch"}),
]  # fmt: skip
