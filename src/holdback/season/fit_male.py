"""Whether a male may be put to a female now."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from holdback.collection.model import Animal
from holdback.season.day_words import day_words, days_words
from holdback.season.fit_reasons import age_reason, health_reasons, mass_reason
from holdback.season.keeping import Keeping
from holdback.season.outlook import Cycle, Reason, Together, Verdict

WITH_HER_DAYS = 14
"""A stay without a last day is taken to go on so long; after that nobody wrote that he came out (an assumption)."""


IN_USE_DAYS = 45
"""A male is in use so long after a stay: pairs meet every two to four weeks (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A stay of a male with a female.

    Parameters
    ----------
    dam : str
        Animal id.
    first, last : date or None
        Days; `last` is the last day he is known to have been with her.
    is_on : bool
        Whether he is with her still, as far as the records tell.
    """

    dam: str
    first: dt.date | None
    last: dt.date | None
    is_on: bool


def turns_of(cycles: Mapping[str, Cycle], today: dt.date) -> Iterator[tuple[str, Turn]]:
    """Stays of the season up to a day, each with its male."""
    for cycle in cycles.values():
        for one in cycle.together:
            if one.first is None or one.first <= today:
                yield one.sire, _turn(cycle.dam, one, today)


def _turn(dam: str, one: Together, today: dt.date) -> Turn:
    if one.last is not None and one.last <= today:
        return Turn(dam, one.first, one.last, is_on=False)
    known = [day for day in (one.first, *one.lock_days) if day is not None and day <= today]
    last = max(known, default=None)
    return Turn(dam, one.first, last, is_on=last is not None and (today - last).days <= WITH_HER_DAYS)


def male_reasons(animal: Animal, turns: Sequence[Turn], keeping: Keeping) -> list[Reason]:
    """Every reason for and against.

    Parameters
    ----------
    animal : Animal
        A male.
    turns : sequence of Turn
        His stays of the season.
    keeping : Keeping
        Records up to the day.
    """
    numbers = keeping.catalogue.reproduction
    return [
        mass_reason(animal.id, numbers.get("male_breeding_mass_g"), keeping),
        age_reason(
            animal.id, numbers.get("male_breeding_age_months"), keeping, months_in_unit=1.0, unit="months"
        ),
        _trend_reason(animal.id, turns, keeping),
        *_load_reason(turns, keeping),
        *_rest_reason(turns, keeping),
        *health_reasons(animal.id, keeping),
    ]  # fmt: skip


def _trend_reason(animal: str, turns: Sequence[Turn], keeping: Keeping) -> Reason:
    """Rest from the low end of the loss that stops him, stop at its value; asked for while he is used."""
    trend, limit = keeping.trend(animal), keeping.catalogue.reproduction.get("male_mass_loss_stop")
    if trend is None or trend.change_percent is None or trend.high_on is None:
        told = "Fewer than two weights that count in half a year"
        if is_in_use(turns, keeping.today):
            return Reason("mass trend", f"{told}: weigh him every two weeks while he is used.", Verdict.ASK)
        return Reason("mass trend", f"{told}: weigh him before he is used.", Verdict.MAY)
    change = trend.change_percent.mean
    told = f"{abs(change):.0f} % {'under' if change < 0 else 'over'} his weight of "
    told += day_words(trend.high_on, keeping.today)
    loss = -change / 100
    if limit is None or loss < limit.low:
        return Reason("mass trend", f"{told}.", Verdict.MAY)
    if trend.is_single:
        told += ", by one weight alone: weigh him again before he is used."
        return Reason("mass trend", told, Verdict.REST)
    if loss < limit.value:
        return Reason("mass trend", f"{told}: let him rest and eat ({limit.mark}).", Verdict.REST)
    told += f": stop pairing him, and have a reptile vet look at him ({limit.mark})."
    return Reason("mass trend", told, Verdict.STOP)


def is_in_use(turns: Sequence[Turn], today: dt.date) -> bool:
    """Whether a male was with a female within the last `IN_USE_DAYS`."""
    return any(turn.last is not None and (today - turn.last).days <= IN_USE_DAYS for turn in turns)


def _load_reason(turns: Sequence[Turn], keeping: Keeping) -> Iterator[Reason]:
    load, usual = len({turn.dam for turn in turns}), keeping.catalogue.reproduction.get("females_per_male")
    if usual is None:
        return
    told = f"{load} female{'' if load == 1 else 's'} this season; {usual.low:g} to {usual.high:g} are usual"
    verdict = Verdict.REST if load >= usual.high else Verdict.MAY
    yield Reason("load", f"{told} ({usual.mark}).", verdict)


def _rest_reason(turns: Sequence[Turn], keeping: Keeping) -> Iterator[Reason]:
    rest = keeping.catalogue.reproduction.get("male_rest_days")
    if rest is None:
        return
    on = next((turn for turn in turns if turn.is_on and turn.last is not None), None)
    if on is not None and on.first is not None:
        since = day_words(on.first, keeping.today)
        yield Reason("rest days", f"With {on.dam} since {since}, and not taken out on record.", Verdict.REST)
        return
    last = max((turn.last for turn in turns if turn.last is not None), default=None)
    if last is None:
        return
    rested = (keeping.today - last).days
    usual = f"{rest.low:g} to {rest.high:g} are usual ({rest.mark})"
    told = f"{days_words(rested)} since he was last with a female; {usual}"
    yield Reason("rest days", f"{told}.", Verdict.REST if rested < rest.low else Verdict.MAY)
