"""The way to a goal as a drawing: crosses from left to right by year, what is not hatched yet dashed."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.collection.model import Sex
from holdback.decisions.steps import Plan, Side, Step
from holdback.web.pages.projects.words import by_year, keep_said, kind_said, step_of
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import about

WIDTH = 880
_LEFT, _TOP, _ROW, _LEAD = 24, 46, 78, 26
"""Margins, distance of rows, and how far a mark stands right of the line of its year, in pixels."""
_LETTER = 6.6
"""Width of a letter of the small type, in pixels."""
_RADIUS = 15


@dataclass(frozen=True, slots=True)
class Mark:
    """One animal: where it stands, its sex, its words, whether it is hatched, whether it is the goal."""

    x: float
    y: float
    sex: Sex
    name: str
    words: str
    is_hatched: bool = True
    is_goal: bool = False


@dataclass
class _Layout:
    """Marks and lines of a drawing as they are found."""

    plan: Plan
    names: Names
    parts: Mapping[str, str]
    sexes: Mapping[str, Sex]
    columns: list[int]
    width: float
    marks: list[Mark] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    rows: int = 0

    def left(self, season: int) -> float:
        return _LEFT + self.columns.index(season) * self.width

    def step(self, step: Step) -> tuple[float, float]:
        """Draw both sides of a step; the point that its young come from."""
        ends = [self._side(side, step) for side in (step.sire, step.dam)]
        (x, first), (_, last) = ends[0], ends[1]
        middle = (first + last) / 2
        self.lines.append(f"M{x:.0f} {first + _RADIUS:.0f}V{last - _RADIUS:.0f}")
        return x, middle

    def _side(self, side: Side, step: Step) -> tuple[float, float]:
        x = self.left(step.first_season) + _LEAD
        if side.step is None:
            y = self._new_row()
            animal = side.animals[0]
            more = f" or {self.names.short(side.animals[1])}" if len(side.animals) > 1 else ""
            name = f"{self.names.short(animal)}{more}"
            self.marks.append(Mark(x, y, self.sexes.get(animal, side.kind.sex), name, self.parts.get(animal, "")))
            return x, y
        came, y = self.step(step_of(self.plan, side.step))
        child = {Sex.MALE: "a son", Sex.FEMALE: "a daughter", Sex.UNKNOWN: "a young"}[side.kind.sex]
        what = _traits(side, self.plan)
        self.lines.append(f"M{came:.0f} {y:.0f}H{x - _RADIUS:.0f}")
        self.marks.append(Mark(x, y, side.kind.sex, child, what, is_hatched=False))
        return x, y

    def _new_row(self) -> float:
        self.rows += 1
        return _TOP + (self.rows - 1) * _ROW + _RADIUS


def way_drawing(plan: Plan, names: Names, parts: Mapping[str, str], sexes: Mapping[str, Sex], year: int) -> SafeString:
    """Drawing of a way.

    Parameters
    ----------
    plan : Plan
        As searched.
    names : Names
        Of the animals.
    parts : mapping of str to str
        What each animal at hand brings, in a few words.
    sexes : mapping of str to Sex
        Of the animals at hand.
    year : int
        Year of season 0.
    """
    seasons = sorted({one.first_season for one in plan.steps})
    width = (WIDTH - _LEFT) / (len(seasons) + 1)
    found = _Layout(plan, names, parts, sexes, seasons, min(width, 300.0))
    goal = plan.steps[-1]
    came, y = found.step(goal)
    x = _LEFT + len(seasons) * found.width + _LEAD
    found.lines.append(f"M{came:.0f} {y:.0f}H{x - _RADIUS:.0f}")
    odds = f"{about(goal.per_hatchling)} young"
    found.marks.append(Mark(x, y, plan.target.sex, "the goal", odds, is_hatched=False, is_goal=True))
    height = _TOP + found.rows * _ROW
    heads = [(found.left(season), str(year + season)) for season in seasons]
    return format_html(
        '<svg class="ped" width="{0}" height="{1}" viewBox="0 0 {0} {1}" role="img" aria-label="{2}">{3}{4}{5}</svg>',
        WIDTH,
        height,
        _said(plan, names, year),
        format_html_join(
            "",
            '<line class="grid" x1="{0}" x2="{0}" y1="20" y2="{1}"/><text class="ink" x="{2}" y="14">{3}</text>',
            ((left, height - 4, left, word) for left, word in heads),
        ),
        format_html_join("", '<path class="tie" d="{}"/>', ((line,) for line in found.lines)),
        format_html_join("", "{}", ((_mark(mark, int(found.width)),) for mark in found.marks)),
    )


def _traits(side: Side, plan: Plan) -> str:
    """What a young must be, without the noun."""
    head, _, rest = kind_said(side.kind, plan.target).partition(" that ")
    return rest or head.partition(", ")[2]


def _said(plan: Plan, names: Names, year: int) -> str:
    parts = []
    for step in by_year(plan):
        sides = " with ".join(_side_said(side, plan, names) for side in (step.sire, step.dam))
        odds = about(step.per_hatchling)
        parts.append(f"{year + step.first_season}: {sides}; {odds} young: {keep_said(step, plan.target)}.")
    return f"The way to the goal. {' '.join(parts)}"


def _side_said(side: Side, plan: Plan, names: Names) -> str:
    if side.step is None:
        return " or ".join(names.short(one) for one in side.animals)
    return kind_said(side.kind, plan.target)


def _mark(mark: Mark, width: int) -> SafeString:
    dashes = SafeString() if mark.is_hatched else SafeString(' stroke-dasharray="5 3"')
    kind = "node me" if mark.is_goal else "node"
    words = _wrapped(mark.words, width)
    top = mark.y + 4 - 7.5 * len(words)
    return format_html(
        '{}<text class="name" x="{}" y="{}">{}</text>{}',
        _shape(mark, kind, dashes),
        round(mark.x + 24),
        round(top),
        mark.name,
        format_html_join(
            "",
            '<text x="{}" y="{}">{}</text>',
            ((round(mark.x + 24), round(top + 15 * (line + 1)), text) for line, text in enumerate(words)),
        ),
    )


def _shape(mark: Mark, kind: str, dashes: SafeString) -> SafeString:
    x, y, r = round(mark.x), round(mark.y), _RADIUS
    if mark.sex is Sex.FEMALE:
        return format_html('<circle class="{}" cx="{}" cy="{}" r="{}"{}/>', kind, x, y, r, dashes)
    if mark.sex is Sex.MALE:
        return format_html(
            '<rect class="{}" x="{}" y="{}" width="{}" height="{}"{}/>', kind, x - r, y - r, 2 * r, 2 * r, dashes
        )
    return format_html('<path class="{}" d="M{} {}l{r} {r}l-{r} {r}l-{r} -{r}Z"{}/>', kind, x, y - r, dashes, r=r)


def _wrapped(words: str, width: int) -> Sequence[str]:
    """Words in lines that fit beside a mark, three at most."""
    letters = max(10, int((width - _LEAD - 28) / _LETTER))
    return textwrap.wrap(words.rstrip("."), letters, max_lines=3, placeholder=" …") if words else []
