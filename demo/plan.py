"""The invented barn: who was bought with which claim and truth, and which clutches were laid.

Every name, place and line is invented. Numbers run through a year for clutches and animals alike, so that none is used
twice. `needs` are what the story asks of a young that was kept: the clutch is drawn again until it holds them all.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from holdback.demo_data import LAST_DAY

END = LAST_DAY
"""Last day of the records."""


@dataclass(frozen=True)
class Bought:
    """A founder: its record, its true genes, and what the seller said of the line (low, high, ground)."""

    id: str
    name: str
    sex: str
    hatched: str
    origin: str
    written: str
    genes: str = ""
    of_line: bool = False
    claim: tuple[float, float, str] | None = None
    notes: str = ""
    arrived: str = ""
    status: str = "breeder"


@dataclass(frozen=True)
class Keep:
    """A young that was kept: id, name, sex, and alleles it must truly have, as ``enchi=1 clown=1``."""

    id: str
    name: str
    sex: str
    needs: str = ""
    status: str = "holdback"
    notes: str = ""


@dataclass(frozen=True)
class Laid:
    """A clutch: true parents, and what was written of them where that differs."""

    id: str
    dam: str
    sire: str
    laid: dt.date
    keep: tuple[Keep, ...] = ()
    written: str = ""
    only_kept: bool = False
    eggs: int = 0
    needs: dict[str, str] = field(default_factory=dict)


CB, WC = "captive bred", "wild caught"
SAID = "Sold in 2016 as wild caught in the Marrowfen, by the importer"

BOUGHT = (
    Bought("16-01", "Mortar", "male", "", WC, "", of_line=True, claim=(1, 1, SAID),
        notes="Arrived 4 May 2016 at 3.9 lb."),
    Bought("16-02", "Peat", "female", "", WC, "", of_line=True, claim=(1, 1, SAID), notes="Same shipment as Mortar."),
    Bought("17-02", "Quill", "female", "2014", CB, "Enchi Clown 66% het Pied", "enchi clown clown yellow-belly",
           claim=(0, 0, "Seller: ordinary stock; no papers")),
    Bought("17-04", "Brindle", "male", "2015-08", CB, "Pastel Clown", "pastel clown clown"),
    Bought("17-06", "Hearth", "female", "2013", CB, "Clown", "clown clown"),
    Bought("17-08", "Rowan", "female", "2016-06-30", CB, "Yellow Belly het Clown", "yellow-belly clown"),
    Bought("18-01", "Cinder", "male", "", WC, "", claim=(0.5, 1, "Show table, 2018: big line, half or more"),
           notes="No papers at all."),
    Bought("18-03", "Saffron", "male", "2016", CB, "Banana Enchi", "banana enchi",
        notes="Sire and dam not known to the seller."),
    Bought("18-05", "Tallow", "male", "2017-07-02", CB, "Banana MM Pastel", "banana@Y pastel"),
    Bought("18-07", "Pintail", "male", "2015", CB, "Pied", "piebald piebald"),
    Bought("18-08", "Magpie", "female", "2015", CB, "het Pied", "piebald"),
    Bought("18-10", "Wren", "female", "2016", CB, "66% het Pied", "piebald"),
    Bought("18-11", "Linnet", "female", "2016-09", CB, "Pastel 50% het Pied", "pastel", notes="Never put to a male."),
    Bought("18-12", "Hazel", "female", "2015", CB, "Pastel poss YB", "pastel"),
    Bought("18-14", "Mallow", "female", "2014", CB, "Normal", "", notes="Eats anything."),
    Bought("19-11", "Kestrel", "male", "2017-06", CB, "Mojave Pastel", "mojave pastel"),
    Bought("19-12", "Juniper", "female", "2016", CB, "Lesser", "lesser"),
    Bought("19-13", "Dapple", "female", "2016", "farm bred", "Butter", "lesser",
        notes="Sold as Butter; could as well be Lesser."),
    Bought("19-14", "Chalk", "female", "2017", CB, "Lesser Mojave", "lesser mojave", notes="White, blue eyes."),
    Bought("19-15", "Slate", "male", "2017-08-11", CB, "Axanthic VPI", "vpi-axanthic vpi-axanthic"),
    Bought("19-16", "Ashlar", "female", "2017", CB, "het Axanthic TSK", "tsk-axanthic"),
    Bought("19-17", "Shale", "female", "2016", CB, "het Axanthic", "vpi-axanthic",
        notes="Line not named on the invoice."),
    Bought("19-18", "Yarrow", "male", "2018", CB, "Enchi YB", "enchi yellow-belly"),
    Bought("20-21", "Candle", "female", "2017", CB, "Ivory", "yellow-belly yellow-belly"),
    Bought("20-22", "Wicket", "male", "2019-07-20", CB, "HGW Pastel", "hidden-gene-woma pastel"),
    Bought("20-23", "Petal", "female", "2018", CB, "HGW", "hidden-gene-woma"),
    Bought("20-24", "Gossamer", "female", "2018-08", CB, "Spider", "spider"),
    Bought("20-25", "Nettle", "female", "2017", CB, "Bumblebee", "spider pastel"),
    Bought("21-20", "Tern", "male", "2020-07-15", CB, "Enchi 100% het Pied 66% het Clown", "enchi piebald clown"),
    Bought("21-21", "Bilberry", "female", "2019", "captive hatched", "Normal", "",
        notes="Bought as an egg from the wild."),
    Bought("25-11", "Heron", "male", "2022", CB, "Pastel Pied", "pastel piebald piebald",
        notes="Borrowed of Oda Fenwick.", arrived="2025-08-30", status="borrowed"),
    Bought("26-20", "Lark", "female", "2024-08-02", CB, "Clown", "clown clown", notes="Raised by Oda Fenwick.",
        arrived="2026-04-11", status="new"),
)  # fmt: skip


def _day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


CLUTCHES = (
    Laid("19-02", "17-02", "16-01", _day("2019-05-02"), (
        Keep("19-01", "Thistle", "female", "enchi=1 yellow-belly=1", "breeder"),), only_kept=True),
    Laid("19-04", "16-02", "17-04", _day("2019-05-20"), (
        Keep("19-05", "Flint", "male", "pastel=1", "breeder"),), only_kept=True),
    Laid("20-01", "17-06", "16-01", _day("2020-04-18"), (
        Keep("20-07", "Harrow", "male", "", "breeder"), Keep("20-08", "Furrow", "female", "", "breeder")),
        only_kept=True),
    Laid("20-02", "18-10", "18-07", _day("2020-05-11"), (
        Keep("20-09", "Teasel", "female", "piebald=1", "breeder"),
        Keep("20-10", "Domino", "male", "piebald=2", "breeder")), only_kept=True),
    Laid("20-03", "16-02", "18-03", _day("2020-06-03"), (
        Keep("20-12", "Fennel", "female", "banana=1", "breeder"),), only_kept=True),
    Laid("21-01", "18-08", "18-07", _day("2021-04-27"), (
        Keep("21-06", "Jackdaw", "female", "piebald=2", "breeder"),), eggs=7),
    Laid("21-02", "19-12", "19-11", _day("2021-05-09"), (
        Keep("21-09", "Lantern", "female", "lesser=1 pastel=1", "breeder"),), eggs=6),
    Laid("21-04", "18-14", "17-04", _day("2021-05-15"), (
        Keep("21-03", "Damson", "female", "pastel=1", "breeder"),), eggs=8),
    Laid("21-05", "18-12", "18-03", _day("2021-06-20"), (
        Keep("21-08", "Marigold", "female", "banana=1", "breeder"),), eggs=5),
    Laid("22-01", "17-02", "19-05", _day("2022-04-21"), (
        Keep("22-05", "Ledger", "male", "pastel=1 enchi=0 clown=2 yellow-belly=0", "breeder"),), eggs=6),
    Laid("22-02", "18-08", "20-07", _day("2022-05-03"), (
        Keep("22-06", "Plover", "female", "piebald=1", "breeder"),), eggs=6),
    Laid("22-03", "19-12", "18-05", _day("2022-05-12"), (
        Keep("22-12", "Amber", "female", "lesser=1", "breeder"),), written="18-05:0.7|19-11:0.3", eggs=7),
    Laid("22-04", "19-01", "16-01", _day("2022-05-19"), (
        Keep("22-11", "Umber", "female", "enchi=1 clown=1 yellow-belly=1", "breeder"),
        Keep("22-07", "Bracken", "male", "clown=1", "breeder"),
        Keep("22-09", "Sorrel", "female", "enchi=0", "breeder")), eggs=7),
    Laid("22-08", "18-12", "19-11", _day("2022-06-15"), (), written="?", eggs=5),
    Laid("22-10", "20-24", "19-18", _day("2022-06-22"), (
        Keep("22-13", "Bodkin", "male", "spider=1 enchi=1", "breeder"),), eggs=6),
    Laid("23-01", "17-08", "20-07", _day("2023-04-30"), (
        Keep("23-05", "Sedge", "female", "clown=0"), Keep("23-08", "Rush", "male", "clown=2")), eggs=8),
    Laid("23-02", "20-21", "20-10", _day("2023-05-08"), (Keep("23-09", "Wick", "female", "piebald=1"),), eggs=7),
    Laid("23-03", "19-17", "19-15", _day("2023-05-17"), (
        Keep("23-10", "Marl", "male", "vpi-axanthic=2"), Keep("23-11", "Chert", "female", "vpi-axanthic=2")), eggs=7),
    Laid("23-04", "19-16", "19-15", _day("2023-05-26"), (Keep("23-12", "Gneiss", "female"),), eggs=6),
    Laid("23-06", "20-25", "20-22", _day("2023-06-09"), (Keep("23-13", "Tinder", "male",
        "hidden-gene-woma=1 spider=0"),), eggs=6),
    Laid("24-01", "18-12", "19-11", _day("2024-04-22"), (Keep("24-02", "Tansy", "male", "pastel=1"),), eggs=6),
    Laid("24-03", "19-01", "20-07", _day("2024-05-05"), (), written="16-01", eggs=7, needs={"2": "clown=2"}),
    Laid("24-04", "20-12", "22-05", _day("2024-05-13"), (
        Keep("24-10", "Russet", "female", "banana=1 clown=1"), Keep("24-11", "Tawny", "male", "banana=1")), eggs=7),
    Laid("24-05", "21-08", "20-10", _day("2024-05-21"), (Keep("24-12", "Sexton", "male", "banana=1"),), eggs=6),
    Laid("24-06", "20-23", "20-22", _day("2024-06-02"), (Keep("24-13", "Lattice", "female", "hidden-gene-woma=1"),),
        eggs=8),
    Laid("24-07", "18-11", "none", _day("2024-06-28"), (), written="none", eggs=4),
    Laid("24-08", "19-14", "19-18", _day("2024-06-12"), (Keep("24-14", "Cobble", "female", "enchi=1"),), eggs=6),
    Laid("25-01", "22-06", "20-10", _day("2025-04-19"), (Keep("25-06", "Pebble", "female", "piebald=2"),), eggs=6),
    Laid("25-02", "21-03", "20-07", _day("2025-05-01"), (Keep("25-07", "Harebell", "female", "clown=2"),), eggs=7),
    Laid("25-03", "19-01", "19-05", _day("2025-05-10"), (Keep("25-08", "Coppice", "female", "clown=1"),), eggs=7),
    Laid("25-04", "21-06", "20-10", _day("2025-05-24"), (), eggs=6),
    Laid("25-05", "20-08", "22-05", _day("2025-06-05"), (Keep("25-09", "Sickle", "male", "clown=2"),), eggs=7),
    Laid("25-10", "19-13", "18-05", _day("2025-06-18"), (), eggs=6),
)  # fmt: skip

YOUNG_IN_EGG = {("24-05", "4"): "24-05-4"}
"""A young that died in the egg and was opened and looked at, by clutch and egg."""

WITH_DEFECT = "25-10-5"
"""A young that stays, as its tail has a kink."""

ANCHORS = {
    # Mass in gram that a story animal weighed, empty, on a day.
    "22-11": (dt.date(2026, 3, 2), 3010),
    "22-05": (dt.date(2026, 5, 10), 1420),
    "22-07": (dt.date(2026, 4, 12), 1652),
    "17-02": (dt.date(2026, 1, 18), 1980),
    "16-01": (dt.date(2026, 1, 18), 2310),
    "19-01": (dt.date(2025, 3, 1), 2390),
}
