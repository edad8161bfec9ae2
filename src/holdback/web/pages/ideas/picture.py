"""Ideas as a picture that stands alone: ink on white, plain attributes, no style, no animal of the collection."""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, field

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.answers.ideas import IdeasFor
from holdback.decisions.ideas import Idea
from holdback.heredity.frequency import sixteenths
from holdback.web.pages.ideas.page import chance_of, spaced
from holdback.web.pages.wording import day, listed

WIDTH = 720
_LEFT, _SIDE = 28, 140
"""Where side heads begin, and the text."""
_LETTERS = 76
"""Letters in a line of the text."""
_MOST_IDEAS, _MOST_REASONS, _MOST_NAMES = 6, 3, 6
_SERIF = "Georgia, 'Liberation Serif', serif"
_SANS = "'Noto Sans', 'Liberation Sans', Arial, sans-serif"
_WORD = (
    "What becomes a look is taste, and its weights are assumed. Chances are of a clutch that is laid. Age, weight and "
    "health of the two are not looked at: ask a reptile vet in doubt, and your authority which animals may be kept."
)


@dataclass
class _Sheet:
    """Marks from the top down."""

    y: float = 0.0
    marks: list[SafeString] = field(default_factory=list)

    def lines(self, text: str, *, size: float = 13, bold: bool = False, quiet: bool = False, at: int = _SIDE) -> None:
        """Text, broken into lines."""
        for line in textwrap.wrap(text, int(_LETTERS * 13 / size)):
            self.y += size * 1.38
            self.words(line, at, self.y, size=size, bold=bold, quiet=quiet)

    def words(
        self, text: str, x: float, y: float, *, size: float = 13, bold: bool = False, quiet: bool = False
    ) -> None:
        """One line of text at a place."""
        self.marks.append(
            format_html(
                '<text x="{}" y="{}" font-size="{}" font-weight="{}" fill="{}">{}</text>',
                round(x, 1), round(y, 1), size, 700 if bold else 400, "#4b5359" if quiet else "#1b2126", text,
            )
        )  # fmt: skip

    def head(self, text: str) -> None:
        """Side head at the height of the next line, under a hairline."""
        self.y += 12
        self.marks.append(format_html('<path d="M{} {}H{}" stroke="#cfcfc4"/>', _LEFT, round(self.y, 1), WIDTH - _LEFT))
        self.y += 6
        self.marks.append(
            format_html(
                '<text x="{}" y="{}" font-size="15" font-family="{}" fill="#1b2126">{}</text>',
                _LEFT, round(self.y + 18, 1), _SERIF, text,
            )
        )  # fmt: skip

    def ovals(self, chance: float) -> None:
        """Sixteen ovals, as many filled as the chance says."""
        self.y += 18
        filled = sixteenths(chance)
        self.marks.append(
            format_html_join(
                "",
                '<ellipse cx="{}" cy="{}" rx="4.4" ry="6" fill="{}" stroke="#1b2126"/>',
                (
                    (_SIDE + 5 + 12 * number, round(self.y - 4, 1), "#1b2126" if number < filled else "none")
                    for number in range(16)
                ),
            )
        )


def picture_of(answer: IdeasFor, *, keeper: str, today: dt.date) -> SafeString:
    """The picture as svg.

    Parameters
    ----------
    answer : IdeasFor
        Ideas for one animal.
    keeper : str
        Whose ideas they are; may be empty.
    today : datetime.date
        Day on which they hold.
    """
    sheet = _Sheet()
    sheet.y = 24
    _title(sheet, answer)
    _cautions(sheet, answer)
    for number, idea in enumerate(answer.found.ideas[:_MOST_IDEAS], start=1):
        _idea(sheet, number, idea)
    _never(sheet, answer)
    sheet.head("Mind")
    sheet.lines(_WORD)
    sheet.y += 26
    sheet.words(" · ".join(part for part in (keeper, day(today), "Holdback") if part), _LEFT, sheet.y, quiet=True)
    height = round(sheet.y + 20)
    return format_html(
        '<svg xmlns="http://www.w3.org/2000/svg" width="{0}" height="{1}" viewBox="0 0 {0} {1}" role="img"'
        ' aria-label="{2}" font-family="{3}"><rect width="{0}" height="{1}" fill="#fff"/>{4}</svg>',
        WIDTH, height, f"Ideas for {answer.label}", _SANS, format_html_join("", "{}", ((one,) for one in sheet.marks)),
    )  # fmt: skip


def _title(sheet: _Sheet, answer: IdeasFor) -> None:
    for line in textwrap.wrap(f"What to breed {answer.label} to", 52):
        sheet.y += 30
        sheet.marks.append(
            format_html(
                '<text x="{}" y="{}" font-size="25" font-family="{}" fill="#1b2126">{}</text>',
                _LEFT, round(sheet.y, 1), _SERIF, line,
            )
        )  # fmt: skip
    sheet.y += 4


def _cautions(sheet: _Sheet, answer: IdeasFor) -> None:
    """Cautions on the animal itself, each with the margin stroke of its level."""
    grave = [each for each in answer.found.cautions if each.level != "note"]
    for number, caution in enumerate(grave):
        if number == 0:
            sheet.head("First")
        top = sheet.y + 6
        sheet.lines(spaced(caution.message), at=_SIDE + 10)
        sheet.marks.append(
            format_html(
                '<rect x="{}" y="{}" width="{}" height="{}" fill="#1b2126"/>',
                _SIDE - 2, round(top, 1), 6 if caution.level == "stop" else 3, round(sheet.y + 4 - top, 1),
            )
        )  # fmt: skip
        sheet.y += 8


def _idea(sheet: _Sheet, number: int, idea: Idea) -> None:
    sheet.head(str(number))
    sheet.lines(idea.label, size=15, bold=True)
    if len(idea.genes) > 1:
        names = [each.name for each in idea.genes]
        rest = [f"{len(names) - _MOST_NAMES} more"] if len(names) > _MOST_NAMES else []
        sheet.lines(listed([*names[:_MOST_NAMES], *rest]))
    reasons: Sequence[str] = (*idea.why, *(combo.sentence for combo in idea.combos))
    for line in reasons[:_MOST_REASONS]:
        sheet.lines(line, quiet=True)
    sheet.ovals(idea.per_hatchling)
    sheet.lines(chance_of(idea))
    for line in (*idea.consequences, *idea.cautions):
        sheet.lines(spaced(line))


def _never(sheet: _Sheet, answer: IdeasFor) -> None:
    never = [each.name for each in answer.found.never if not each.codes]
    unless = [each.name for each in answer.found.never if each.codes]
    if not answer.found.never:
        return
    sheet.head("Not brought")
    if never:
        sheet.lines(f"Never: {listed(never)}. Young would not live.")
    if unless:
        sheet.lines(f"Left out for the welfare of the young, or until a caution is spoken for: {listed(unless)}.")
