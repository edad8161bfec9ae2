"""Plans for a line: at once where they are worked out, else from a job."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import asdict
from typing import Any

from holdback.answers.decisions import Decisions
from holdback.answers.decisions.contributing import LineWish
from holdback.errors import HoldbackError
from holdback.web.pages.decided import Part, Tell, part_or_work, register
from holdback.web.pages.worked_out import Working

LINE = "line"
STOCK = "stock"


def line_or_work(line: str, wish: LineWish) -> Decisions | Working:
    """Plans in which it is worked out who of a line should breed, or the job that does."""
    return part_or_work(LINE, line=line, wish=asdict(wish))


def stock_or_work() -> Decisions | Working:
    """Plans in which the animals at hand are ready to be asked, or the job that gets them ready."""
    return part_or_work(STOCK)


def _has_line(plans: Decisions, asked: dict[str, Any]) -> bool:
    return plans.has_contributions(asked["line"], LineWish(**asked["wish"]))


def _work_out_line(plans: Decisions, asked: dict[str, Any], tell: Tell) -> None:
    _get_ready(plans, asked, lambda share: tell(share / 2))

    def is_stopped() -> bool:
        tell(0.75)  # raises where somebody asked to stop
        return False

    with suppress(HoldbackError):  # the page says why there are none
        plans.contributions(asked["line"], LineWish(**asked["wish"]), cancelled=is_stopped)


def _is_ready(plans: Decisions, _: dict[str, Any]) -> bool:
    return "stock" in vars(plans)


def _get_ready(plans: Decisions, _: dict[str, Any], tell: Tell) -> None:
    tell(0.1)
    plans.stock  # noqa: B018 - worked out when it is first asked for, and kept
    tell(1.0)


register(LINE, Part("Who of the line should breed", _has_line, _work_out_line))
register(STOCK, Part("What all animals can give", _is_ready, _get_ready))
