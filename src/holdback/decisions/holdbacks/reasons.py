"""Why a hatchling stands where it stands, in a breeder's words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from holdback.collection.model import Sex
from holdback.decisions.holdbacks.candidate import Candidate
from holdback.decisions.holdbacks.meeting import copies
from holdback.decisions.holdbacks.ordering import Place
from holdback.decisions.holdbacks.preference import Lacking, ids_of
from holdback.decisions.holdbacks.result import ProjectGain
from holdback.decisions.holdbacks.words import fraction, in_100, name, pronoun, sibling
from holdback.decisions.holdbacks.worths import Bag, Worths, difference

_SAME = 1e-9


def reasons(
    worths: Worths, place: Place, kept: Bag, gains: Sequence[ProjectGain], *, lacking: Lacking
) -> tuple[str, ...]:
    """Sentences on one hatchling, what counts most first.

    Parameters
    ----------
    worths : Worths
        Candidates and sets.
    place : Place
        Where it stands.
    kept : tuple of int
        The set to hold back.
    gains : sequence of ProjectGain
        What it does for each project.
    lacking : Lacking
        Sexes lacking.
    """
    one = worths.candidates[place.animal]
    return tuple(
        text
        for part in (
            _goal(one, gains),
            _gains(place, gains),
            _beside(worths, place, kept),
            _lack(worths, place, kept, lacking),
            _possible(worths, one),
            _kin(worths, one, kept),
            _size(worths, one),
            _keep(worths, one, is_kept=place.is_kept),
            iter((*one.flags, *one.troubles)),
        )
        for text in part
    )


def _goal(one: Candidate, gains: Sequence[ProjectGain]) -> Iterator[str]:
    for gain in gains:
        if gain.is_goal and one.sex is not Sex.UNKNOWN:
            yield f"{pronoun(one.sex).capitalize()} is what {gain.project} asks for."
        elif gain.is_goal:
            yield f"It may be what {gain.project} asks for, by its sex."


def _gains(place: Place, gains: Sequence[ProjectGain]) -> Iterator[str]:
    if not place.tells:
        return
    several = len(gains) > 1
    for gain in gains:
        head = f"{gain.project}: here" if several else "Here"
        if in_100(gain.before) != in_100(gain.after):
            yield f"{head} by {gain.year}: {in_100(gain.before)} becomes {in_100(gain.after)} in 100."
        elif abs(gain.seasons.mean) >= 0.05 and not gain.seasons.low <= 0 <= gain.seasons.high:
            yield f"{gain.project}: about {gain.seasons.mean:.1f} seasons sooner."


def _beside(worths: Worths, place: Place, kept: Bag) -> Iterator[str]:
    """How it stands to those kept."""
    gap, _ = place.adds
    names = ids_of(worths, kept)
    mates = [other for other in names if other != place.animal]
    if place.is_kept:
        if gap > place.alone.mean + 2 * (place.alone.high - place.alone.mean) + _SAME and mates:
            yield f"Worth more beside {_list(worths, mates)} than alone."
        return
    if place.tells > 0:
        yield "More than nothing beside those kept: one tub more would use it."
        return
    like = [other for other in names if other in worths.groups[place.group]]
    sex = worths.candidates[place.animal].sex
    if like:
        whom = f"{name(worths.stock, like[0])}, {_whose(sex)} {sibling(sex)}"
        yield f"{whom}, is kept already; another like that adds nothing."
    elif place.alone.low > 0:
        yield f"Nothing that {_list(worths, _instead(worths, place, kept)) or 'those kept'} does not do."
    else:
        yield "Changes nothing here that can be told."


def _whose(sex: Sex) -> str:
    return {Sex.FEMALE: "her", Sex.MALE: "his"}.get(sex, "its")


def _instead(worths: Worths, place: Place, kept: Bag) -> list[str]:
    """Those kept beside whom it adds nothing though it adds something alone."""
    found = []
    for k in dict.fromkeys(kept):
        pair = tuple(sorted((k, place.group)))
        if pair in worths.bags:
            gap, error = difference(worths.of(pair).eggs, worths.of((k,)).eggs)
            if gap <= 2 * error + _SAME:
                found.append(worths.groups[k][0])
    return found


def _lack(worths: Worths, place: Place, kept: Bag, lacking: Lacking) -> Iterator[str]:
    others = list(kept)
    if place.is_kept:
        others.remove(place.group)
    if not lacking.fills(place.group, tuple(others)):
        return
    sex = worths.candidates[place.animal].sex
    if place.group in lacking.by_line and not place.tells:
        yield (
            f"Kept so that the line goes on in both sexes: too few {sex}s of it are here."
            if place.is_kept
            else (f"Too few {sex}s of the line are here: first to keep if a tub is left.")
        )
    else:
        yield f"No other {sex} here will do for a cross of the plan."


def _possible(worths: Worths, one: Candidate) -> Iterator[str]:
    """Genes asked for that it may or may not carry."""
    seen = set()
    for project in worths.projects:
        for target in project.targets:
            for gene in target.genes:
                chance = 1 - copies(worths.stock, one.animal, gene)[0]
                if gene.copies and 0.01 < chance < 0.99 and gene.name not in seen:
                    seen.add(gene.name)
                    yield f"May carry {gene.name} ({fraction(chance)}); both are counted."


def _kin(worths: Worths, one: Candidate, kept: Bag) -> Iterator[str]:
    limit = min((project.goal.inbreeding_at_most for project in worths.projects), default=1.0)
    for other in ids_of(worths, kept):
        sexes = {worths.candidates[other].sex, one.sex}
        if other == one.animal or sexes != {Sex.MALE, Sex.FEMALE}:
            continue
        kin = float(worths.stock.kinship[worths.stock.index(one.animal), worths.stock.index(other)])
        if kin > limit + _SAME:
            yield (
                f"Never for {name(worths.stock, other)}: their young would be inbred {100 * kin:.3g} %, "
                f"over the limit of {100 * limit:.3g} %."
            )


def _size(worths: Worths, one: Candidate) -> Iterator[str]:
    if one.size is None:
        return
    mates = [each for each in worths.candidates.values() if each.clutch == one.clutch and each.size]
    if len(mates) > 1 and one is max(mates, key=lambda each: each.beyond_egg) and one.size.hatching.mean > 0:
        yield f"The heaviest of its clutch for its egg ({one.size.hatching.mean:+.0f} %)."


def _keep(worths: Worths, one: Candidate, *, is_kept: bool) -> Iterator[str]:
    """From when it breeds, and what it costs until then."""
    if not is_kept:
        return
    ready = [one.ready(sex) for sex, _ in one.sexes]
    year, money = worths.stock.year, worths.keeping.year_money
    when = (
        f"{year + ready[0]}"
        if len(set(ready)) == 1
        else f"{year + min(ready)} as a male, {year + max(ready)} as a female"
    )
    cost = f"; until then about {money * max(ready):.0f} to keep" if money is not None else ""
    yield f"First young from {when}{cost}."


def _list(worths: Worths, animals: Sequence[str]) -> str:
    from holdback.decisions.holdbacks.words import listed

    return listed([name(worths.stock, one) for one in animals]) if animals else ""
