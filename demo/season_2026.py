"""The season of 2026 up to the last day of the records: matings, signs, and two clutches in boxes."""

from __future__ import annotations

MATINGS = (
    ("22-11", "22-05", "2026-02-06", "2026-02-09", 2),
    ("22-11", "22-05", "2026-03-07", "2026-03-09", 1),
    ("22-11", "22-05", "2026-04-03", "2026-04-05", 1),
    ("17-02", "20-07", "2025-12-05", "2025-12-07", 1),
    ("17-02", "20-07", "2026-01-09", "2026-01-11", 2),
    ("21-03", "22-05", "2025-12-20", "2025-12-22", 1),
    ("21-03", "22-05", "2026-01-24", "2026-01-26", 1),
    ("22-09", "20-07", "2026-02-21", "2026-02-23", 0),
    ("20-12", "16-01", "2026-01-16", "2026-01-18", 1),
    ("20-12", "16-01", "2026-02-13", "2026-02-15", 2),
    ("22-06", "21-20", "2026-03-13", "2026-03-15", 1),
    ("21-08", "20-10", "2025-12-12", "2025-12-14", 2),
    ("21-08", "20-10", "2026-01-19", "2026-01-21", 1),
    ("20-21", "25-11", "2026-01-03", "2026-01-05", 0),
    ("20-21", "25-11", "2026-02-08", "2026-02-10", 1),
    ("20-21", "25-11", "2026-03-20", "2026-03-22", 0),
)
"""Female, male, first and last day, locks. Heron 25-11 is borrowed."""

EGGS = {
    "26-01": [(91, ""), (88, ""), (94, ""), (79, ""), (90, ""), (86, "died"), (89, ""), (52, "slug")],
    "26-02": [(84, ""), (86, ""), (81, ""), (88, ""), (83, "")],
}
CLUTCHES = (("26-01", "17-02", "20-07", "2026-04-02"), ("26-02", "21-03", "22-05", "2026-04-30"))
LOST = {("26-01", "6"): ("2026-04-20", "went mouldy")}
"""Day and cause, by clutch and egg."""
WEAK = {("26-01", "4"): 30}
"""Eggs whose veins were weak, from which day on."""

WITH_EGGS = {"20-12": "2026-03-20", "21-08": "2026-02-20", "22-11": "2026-04-10"}
"""Females with follicles or eggs in them, and the day from which they refuse."""

EVENTS = (
    ("22-11", "2026-02-07", "lock", None, "", "with Ledger"),
    ("22-11", "2026-02-08", "lock", None, "", "with Ledger"),
    ("22-11", "2026-02-20", "ultrasound", 18.0, "mm", "largest follicle"),
    ("22-11", "2026-03-25", "ultrasound", 29.0, "mm", "largest follicle"),
    ("22-11", "2026-04-21", "meal", 180.0, "g", "medium rat, refused"),
    ("22-11", "2026-04-22", "ultrasound", 42.0, "mm", "largest follicle, seven counted"),
    ("22-11", "2026-04-28", "ovulation", None, "", "swelling mid-body in the evening"),
    ("22-11", "2026-05-02", "meal", 180.0, "g", "medium rat, refused"),
    ("22-11", "2026-05-12", "meal", 180.0, "g", "medium rat, refused"),
    ("22-09", "2026-05-03", "ultrasound", 18.0, "mm", "largest follicle"),
    ("20-12", "2026-01-17", "lock", None, "", "with Mortar"),
    ("20-12", "2026-02-14", "lock", None, "", "with Mortar"),
    ("20-12", "2026-03-15", "ultrasound", 31.0, "mm", "largest follicle, 8 follicles"),
    ("20-12", "2026-04-20", "ovulation", None, "", ""),
    ("20-12", "2026-05-09", "pre-lay shed", None, "", "nest box in"),
    ("17-02", "2026-02-12", "ovulation", None, "", ""),
    ("17-02", "2026-03-03", "pre-lay shed", None, "", ""),
    ("17-02", "2026-03-10", "nest box", None, "", ""),
    ("17-02", "2026-04-02", "laid", 669.0, "g", "eggs taken from her the same evening"),
    ("21-03", "2026-03-31", "pre-lay shed", None, "", ""),
    ("21-03", "2026-04-11", "nest box", None, "", ""),
    ("21-03", "2026-04-30", "laid", 422.0, "g", "first weighed together, then each"),
    ("21-08", "2026-01-20", "lock", None, "", "with Domino"),
    ("21-08", "2026-03-16", "ovulation", None, "", ""),
    ("21-08", "2026-04-04", "pre-lay shed", None, "", ""),
    ("21-08", "2026-04-12", "nest box", None, "", ""),
    ("20-21", "2026-03-01", "ultrasound", 22.0, "mm", "largest follicle, 6 follicles"),
    ("20-21", "2026-05-02", "ultrasound", 13.0, "mm", "smaller than in March"),
    ("19-01", "2025-10-05", "rests", None, "", "three clutches in four years"),
)
"""Animal, day, kind, value, unit, note. Candle 20-21 takes her follicles back."""
