"""Why a hatchling stands where it stands, in a breeder's words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from holdback.collection.estimate import Estimate
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
            _gains(one, place, gains),
            _beside(worths, place, kept, gains),
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


def _gains(one: Candidate, place: Place, gains: Sequence[ProjectGain]) -> Iterator[str]:
    """What it changes for each project, with how far luck alone moves the difference."""
    if not place.tells:
        return
    whom = {Sex.FEMALE: "her", Sex.MALE: "him"}.get(one.sex, "it")
    for gain in gains:
        before, after = in_100(gain.before), in_100(gain.after)
        if before != after and not gain.gain.low <= 0 <= gain.gain.high:
            here = f"{gain.project} is here by {gain.year} in {after} of 100 rehearsals"
            yield f"With {whom} {here}, without in {before} ({_more(gain.gain)})."
        elif abs(gain.seasons.mean) >= 0.05 and not gain.seasons.low <= 0 <= gain.seasons.high:
            sooner = "sooner" if gain.seasons.mean > 0 else "later"
            much = f"{abs(gain.seasons.mean):.1f} seasons {sooner}"
            yield f"With {whom} {gain.project} is here about {much}, as rehearsed."


def _more(gain: Estimate) -> str:
    """Range of a difference in points: "2 to 5 more"."""
    few, many = sorted(round(abs(end)) for end in (gain.low, gain.high))
    return f"{f'{few} to {many}' if few < many else few} {'more' if gain.mean > 0 else 'fewer'}"


def _beside(worths: Worths, place: Place, kept: Bag, gains: Sequence[ProjectGain]) -> Iterator[str]:
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
    elif worths.keeping.year_eggs and any(gain.gain.low > 0 or gain.seasons.low > 0 for gain in gains):
        yield "Brings less than its tub costs until it breeds."
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
    if len(mates) > 1 and one is max(mates, key=lambda each: each.beyond_egg) and round(one.size.hatching.mean) > 0:
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
    from holdback.decisions.kind_words import listed

    return listed([name(worths.stock, one) for one in animals]) if animals else ""
