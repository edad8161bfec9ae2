"""Whether a female may be put to a male now."""

from __future__ import annotations

from collections.abc import Iterator

from holdback.collection.model import Animal
from holdback.season.day_words import day_words
from holdback.season.fit_reasons import OLD_DAYS, age_reason, health_reasons, mass_reason
from holdback.season.keeping import Keeping
from holdback.season.outlook import Cycle, Reason, Verdict
from holdback.season.signs import loss_words
from holdback.size.condition import build
from holdback.size.plausible import DAYS_PER_MONTH
from holdback.species.model import Value

MOST_EGG_BOUND = (
    "Vet texts name first-time and fat dams among those that more often keep eggs back (from memory): know a reptile "
    "vet before she is paired."
)


def female_reasons(animal: Animal, cycle: Cycle | None, keeping: Keeping) -> list[Reason]:
    """Every reason for and against.

    Parameters
    ----------
    animal : Animal
        A female.
    cycle : Cycle or None
        What is on record of her in the season.
    keeping : Keeping
        Records up to the day.
    """
    numbers = keeping.catalogue.reproduction
    return [
        mass_reason(animal.id, numbers.get("female_breeding_mass_g"), keeping),
        _age(animal.id, numbers.get("female_breeding_age_years"), keeping),
        *_season(cycle, keeping),
        *_since_clutch(animal.id, keeping),
        *_regained(animal.id, keeping),
        *_condition(animal.id, keeping),
        *_trend(animal.id, keeping),
        *health_reasons(animal.id, keeping),
    ]


def _age(animal: str, least: Value | None, keeping: Keeping) -> Reason:
    """Age; where it is not known, a dam that has laid is old enough."""
    reason = age_reason(animal, least, keeping, months_in_unit=12.0, unit="years")
    if reason.verdict is Verdict.ASK and keeping.last_laid(animal) is not None:
        return Reason("age", "Her age is not known; she has laid before.", Verdict.MAY)
    return reason


def _season(cycle: Cycle | None, keeping: Keeping) -> Iterator[Reason]:
    """What she is about this season."""
    if cycle is None:
        return
    if cycle.has_laid:
        when = f" on {day_words(cycle.laid, keeping.today)}" if cycle.laid else ""
        yield Reason("rests", f"She laid this season{when}: she has until the next to regain it.", Verdict.REST)
    elif cycle.rests:
        yield Reason("rests", "She is said to rest this season.", Verdict.REST)
    elif (seen := cycle.shed or cycle.ovulated) is not None:
        what = "shed before laying" if cycle.shed else "ovulated"
        yield Reason("rests", f"She {what} on {day_words(seen, keeping.today)}: no male any more.", Verdict.REST)


def _since_clutch(animal: str, keeping: Keeping) -> Iterator[Reason]:
    """Months since she last laid, or that she never did."""
    laid, regain = keeping.last_laid(animal), keeping.catalogue.reproduction.get("regain_months")
    if laid is None:
        yield Reason("since clutch", f"No clutch of hers is on record. {MOST_EGG_BOUND}", Verdict.MAY)
        return
    months = (keeping.today - laid).days / DAYS_PER_MONTH
    told = f"{months:.1f} months since she laid on {day_words(laid, keeping.today)}"
    if regain is None:
        yield Reason("since clutch", f"{told}.", Verdict.MAY)
        return
    verdict = Verdict.NOT_YET if months < regain.low else Verdict.MAY
    yield Reason("since clutch", f"{told}; {regain.low:g} to {regain.high:g} are usual ({regain.mark}).", verdict)


def _regained(animal: str, keeping: Keeping) -> Iterator[Reason]:
    """Share of her mass before the last clutch that she has back."""
    numbers = keeping.catalogue.reproduction
    laid, wanted, regain = keeping.last_laid(animal), numbers.get("regained_share"), numbers.get("regain_months")
    if laid is None or wanted is None:
        return
    trend, before = keeping.trend(animal), keeping.mass_before(animal, laid)
    if trend is None or before is None or trend.last <= laid:
        if regain is not None and (keeping.today - laid).days / DAYS_PER_MONTH <= regain.high:
            missing = "before she laid" if before is None else "since she laid"
            told = f"No weight {missing} counts: whether she has it back is not known. Weigh her empty."
            yield Reason("regained", told, Verdict.ASK)
        return
    share = trend.mass_g.mean / before[0]
    told = f"{100 * share:.0f} % of the {before[0]:,.0f} g of {day_words(before[1], keeping.today)}, before she laid"
    asked = f"from {100 * wanted.value:.0f} % she is held to have it back ({wanted.mark})"
    if (keeping.today - trend.last).days > OLD_DAYS:
        yield Reason("regained", f"{told}, by a weight of {day_words(trend.last, keeping.today)}.", Verdict.ASK)
        return
    yield Reason("regained", f"{told}; {asked}.", Verdict.MAY if share >= wanted.value else Verdict.NOT_YET)


def _condition(animal: str, keeping: Keeping) -> Iterator[Reason]:
    """Build by mass and length, where a length is on record."""
    numbers = keeping.catalogue.reproduction
    thin, fat = numbers.get("build_thin"), numbers.get("build_fat")
    found = build(animal, keeping.readings, keeping.catalogue)
    if found is None or thin is None or fat is None:
        return
    told = f"Build {found.mean:.2f} ({found.low:.2f} to {found.high:.2f}), 1 being that of an ordinary animal"
    if found.high < thin.value:
        yield Reason("condition", f"{told}: thin. Let her gain first ({thin.mark}).", Verdict.NOT_YET)
    elif found.low > fat.value:
        yield Reason("condition", f"{told}: fat. {MOST_EGG_BOUND} Let her grow lean first.", Verdict.NOT_YET)
    elif found.mean > fat.value:
        yield Reason("condition", f"{told}: maybe fat. {MOST_EGG_BOUND}", Verdict.MAY)
    else:
        yield Reason("condition", f"{told}.", Verdict.MAY)


def _trend(animal: str, keeping: Keeping) -> Iterator[Reason]:
    """Mass lost outside laying."""
    trend, alarm = keeping.trend(animal), keeping.catalogue.reproduction.get("mass_loss_alarm")
    if trend is None or trend.change_percent is None or trend.high_on is None:
        return
    told = loss_words(trend, 100 * alarm.value, keeping.today) if alarm else ""
    if told:
        yield Reason("mass trend", told, Verdict.STOP)
        return
    change = trend.change_percent.mean
    over = "under" if change < 0 else "over"
    weight = f"her weight of {day_words(trend.high_on, keeping.today)}"
    yield Reason("mass trend", f"{abs(change):.0f} % {over} {weight}.", Verdict.MAY)
