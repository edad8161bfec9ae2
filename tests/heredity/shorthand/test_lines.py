"""Hand-written lines of shorthand against what they must be read as; and all of them written and read again."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from holdback.heredity.shorthand import ReadGene, Reading, read, write
from holdback.species.catalogue import load

_LINES: list[dict[str, Any]] = tomllib.loads((Path(__file__).parent / "lines.toml").read_text(encoding="utf-8"))["line"]
_TEXTS = [line["text"] for line in _LINES]


def _claim(gene: ReadGene) -> str:
    """Claim of a gene in the notation of lines.toml."""
    name = gene.allele or f"@{gene.locus}"
    maker = {"": "", "male maker": ":mm", "female maker": ":fm"}[gene.maker]
    return f"{name}={_chances(gene)}{maker}"


def _chances(gene: ReadGene) -> str:
    if gene.said == "held back":
        return "x"
    if gene.copies is None:
        return "?" if not gene.allele else {True: "1-2", False: "h?", None: "?"}[gene.shown]
    none, one, two = gene.copies
    if none == 1:
        return "0"
    if two not in (0, 1):
        return f"s{_fraction(two)}"
    if gene.shown:
        return "2" if two else "1"
    mark = "!" if gene.said == "assumed" else ""
    return ("h" if gene.shown is False else "m") + _fraction(one) + mark if one < 1 or gene.shown is None else "h"


def _fraction(chance: float) -> str:
    return str(Fraction(chance).limit_denominator(100))


def _as_expected(reading: Reading) -> dict[str, Any]:
    """Reading under the keys of lines.toml, empty ones left out."""
    found = {
        "sex": "" if reading.sex == "unknown" else str(reading.sex),
        "counts": str(reading.counts or ""),
        "origin": str(reading.origin or ""),
        "hatched": str(reading.hatched or ""),
        "mass": f"{reading.mass[0]:g} {reading.mass[1]}" if reading.mass else "",
        "genes": sorted(_claim(gene) for gene in reading.genes),
        "lines": [f"{line.name} {_fraction(line.share)}" if line.share else line.name for line in reading.lines],
        "status": list(reading.status),
        "unread": [f"{part.text} > {part.suggestion}" if part.suggestion else part.text for part in reading.unread],
        "codes": sorted(warning.code for warning in reading.warnings),
    }
    return {key: value for key, value in found.items() if value}


@pytest.mark.parametrize("line", _LINES, ids=_TEXTS)
def test_read__hand_written_line(line: dict[str, Any]) -> None:
    expected = {key: value for key, value in line.items() if key != "text"}
    if "genes" in expected:
        expected["genes"] = sorted(expected["genes"].split())
    if "codes" in expected:
        expected["codes"] = sorted(expected["codes"])
    assert _as_expected(read(line["text"], load())) == expected


@pytest.mark.parametrize("text", _TEXTS)
def test_write__reads_back_the_same(text: str) -> None:
    reading = read(text, load())
    written = write(reading, load())
    assert read(written, load()) == reading, written


@pytest.mark.parametrize("text", _TEXTS)
def test_write__is_stable(text: str) -> None:
    written = write(read(text, load()), load())
    assert write(read(written, load()), load()) == written


def test_lines__are_enough_and_differ() -> None:
    assert len(set(_TEXTS)) == len(_TEXTS) >= 220
