"""Small drawings set in a line: belief bars, ovals, meters. All are svg without a style attribute."""

from __future__ import annotations

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.heredity.frequency import sixteenths
from holdback.web.pages.wording import about, eggs_of, percent, whole_percent

_SEEN = 1e-6  # a part narrower than this is not drawn


def belief_bar(copies: tuple[float, float, float], label: str, *, is_mini: bool = False) -> SafeString:
    """Bar from no copy (empty) through one (hatched) to two (solid).

    Parameters
    ----------
    copies : tuple of three floats
        Probabilities of no, one and two copies; they sum to 1.
    label : str
        What the bar is about; read aloud before the numbers.
    is_mini : bool
        True for the short bar that stands in a table.
    """
    kinds = [(kind, part) for kind, part in zip(("no", "one", "two"), copies, strict=True) if part > _SEEN]
    parts, at = [], 0.0
    for kind, part in kinds:
        if at > 0:
            parts.append(format_html('<line class="cut" x1="{0}%" x2="{0}%" y1="0" y2="100%"/>', _figure(at)))
        parts.append(
            format_html('<rect class="{}" x="{}%" width="{}%" height="100%"/>', kind, _figure(at), _figure(100 * part))
        )
        at += 100 * part
    return format_html(
        '<svg class="{}" role="img" aria-label="{}">{}<rect class="frame" width="100%" height="100%"/></svg>',
        "bar mini" if is_mini else "bar",
        f"{label}: {copies_said(copies)}",
        format_html_join("", "{}", ((part,) for part in parts)),
    )


def copies_said(copies: tuple[float, float, float]) -> str:
    """The three chances in words: "no copy 50 %, one copy 50 %"."""
    names = ("no copy", "one copy", "two copies")
    return ", ".join(f"{name} {whole_percent(part)}" for name, part in zip(names, copies, strict=True) if part > _SEEN)


def ovals(chance: float, of: str = "eggs") -> SafeString:
    """Sixteen ovals, as many filled as the chance says; one hatched where it is less than one.

    Parameters
    ----------
    chance : float
        Probability in [0, 1].
    of : str
        What is counted.
    """
    filled = sixteenths(chance)
    marks = ["on" if index < filled else "" for index in range(16)]
    if filled == 0 and chance > 0:
        marks[0] = "part"
    said = eggs_of(chance) if of == "eggs" else f"{about(chance)} {of}"
    return format_html(
        '<svg class="tally" role="img" aria-label="{}">{}</svg>',
        said,
        format_html_join(
            "",
            '<ellipse class="e {}" cx="{}" cy="7" rx="4.4" ry="6"/>',
            ((mark, 5 + 12 * index) for index, mark in enumerate(marks)),
        ),
    )


def share_bar(share: float, label: str) -> SafeString:
    """A share as a bar with its percentage behind it.

    Parameters
    ----------
    share : float
        In [0, 1].
    label : str
        What the bar is about; read aloud before the number.
    """
    said = percent(share)
    return format_html(
        '<svg class="bar mini" role="img" aria-label="{}: {}"><rect class="no" width="100%" height="100%"/>'
        '<rect class="two" width="{}%" height="100%"/><rect class="frame" width="100%" height="100%"/></svg> {}',
        label,
        said,
        _figure(100 * share),
        said,
    )


def meter(done: int, total: int) -> SafeString:
    """How far a piece of work is."""
    share = 100 * done / total if total else 0.0
    return format_html(
        '<svg class="meter" role="img" aria-label="{} of {}"><rect class="frame" width="100%" height="12"/>'
        '<rect class="full" width="{}%" height="12"/></svg>',
        f"{done:,}",
        f"{total:,}",
        _figure(share),
    )


def _figure(value: float) -> str:
    """Coordinate with two decimals at most."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
