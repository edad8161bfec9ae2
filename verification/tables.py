"""Calibration in Markdown, for a person and for the documentation."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from verification.calibration import Said, bias, bins, by_group, by_kind, surprise


def summary(said: Sequence[Said]) -> str:
    """One line for each kind of statement on each group of animals."""
    rows = ["| statement | animals | count | said | true | bias | surprise |", "|---|---|---|---|---|---|---|"]
    groups = {(kind, "all"): each for kind, each in by_kind(said).items()} | by_group(said)
    for (kind, group), each in sorted(groups.items()):
        mean = sum(one.chance for one in each) / len(each)
        true = sum(one.is_true for one in each) / len(each)
        off = f"{bias(each):+.1f} | {surprise(each):+.1f}"
        rows.append(f"| {kind} | {group} | {len(each):,} | {mean:.4f} | {true:.4f} | {off} |")
    return "\n".join(rows)


def table(said: Sequence[Said]) -> str:
    """Statements by kind and tenths of chance, those with too few in brackets."""
    rows = ["| statement | chance | count | said | true | error | off by |", "|---|---|---|---|---|---|---|"]
    for one in bins(said):
        off = f"{one.z:+.1f}" if one.is_judged else f"({one.z:+.1f})"
        chance = f"{round(100 * one.low)}-{round(100 * one.high)} %"
        rows.append(
            f"| {one.kind} | {chance} | {one.count:,} | {one.said:.4f} | {one.true:.4f} | {one.error:.4f} | {off} |"
        )
    return "\n".join(rows)


def write(page: Path, found: Mapping[str, Sequence[Said]]) -> None:
    """Put tables into a page, each between the comments with its name."""
    for name, said in found.items():
        put(page, name, f"{summary(said)}\n\n{table(said)}")


def put(page: Path, name: str, table: str) -> None:
    """Put one table into a page, between the comments with its name."""
    text = page.read_text("utf-8")
    start, end = f"% {name}: begin\n", f"% {name}: end"
    place = re.search(re.escape(start) + ".*?" + re.escape(end), text, re.DOTALL)
    assert place is not None, f"{page.name} has no place for the table {name!r}"
    page.write_text(text[: place.start()] + f"{start}\n{table}\n{end}" + text[place.end() :], "utf-8")
