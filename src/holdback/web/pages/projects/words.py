"""Parts of a goal and steps of its way, in a breeder's words and with links."""

from __future__ import annotations

import math
from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import NoReverseMatch, reverse
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from holdback.collection.model import Sex
from holdback.decisions.goal import Goal, GoalGene, Target
from holdback.decisions.goal_words import Piece, goal_limits, goal_sentence
from holdback.decisions.kind_words import in_hundred, kind_words
from holdback.decisions.rehearsal import Failure, Mean
from holdback.decisions.steps import Kind, Plan, Side, Step
from holdback.errors import DecisionError, Fault
from holdback.species.catalogue import Catalogue
from holdback.web.pages.season.names import Names
from holdback.web.pages.wording import GAP, SURE, about, listed, percent

FAILS = {
    Failure.NO_LAYER: "no clutch",
    Failure.NO_CARRIER: "no carrier",
    Failure.NO_KIND: "no such young",
    Failure.NO_SEX: "the wrong sex",
    Failure.NO_TUB: "no tub free",
    Failure.TOO_CLOSE: "only kin left",
    Failure.DIED: "a death",
    Failure.NO_TIME: "still growing",
    Failure.SPENT: "eggs or money spent",
}
"""What a way fails by, in two words."""

FAILS_HOW = {
    Failure.NO_LAYER: "no female of the way lays in time",
    Failure.NO_CARRIER: "an animal that may carry a gene turns out not to",
    Failure.NO_KIND: "no young of the kind wanted comes",
    Failure.NO_SEX: "the right young are all of the other sex",
    Failure.NO_TUB: "no tub is free when a young should be held back",
    Failure.TOO_CLOSE: "only mates nearer kin than you allow are left",
    Failure.DIED: "an animal that the way counts on dies",
    Failure.NO_TIME: "what was held back is not grown yet",
    Failure.SPENT: "the eggs or the money are used up",
}
"""The same as the end of a sentence."""

LITTLE = 0.005
"""Share of a line below which it is not spoken of."""

_CHILD = {Sex.MALE: "son", Sex.FEMALE: "daughter", Sex.UNKNOWN: "young"}
_CAME = {1: "first", 2: "second", 3: "third", 4: "fourth", 5: "fifth", 6: "sixth"}


@dataclass(frozen=True, slots=True)
class GoalSaid:
    """A goal as its page says it: the sentence in parts, what else it says, or what is wrong with it."""

    pieces: tuple[Piece, ...] = ()
    limits: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()


def goal_said(goal: Goal, catalogue: Catalogue) -> GoalSaid:
    """Goal in a sentence."""
    try:
        pieces = goal_sentence(goal, catalogue)
    except DecisionError as error:
        return GoalSaid(faults=error.faults)
    return GoalSaid(tuple(Piece(spaced(one.text), one.is_chosen) for one in pieces), goal_limits(goal))


def spaced(text: str) -> str:
    """Text with a thin space before each percent sign."""
    return text.replace(" %", f"{GAP}%")


def points(chance: Mean) -> str:
    """A rehearsed chance with its error: "86 in 100, give or take 1"."""
    error = 100 * 1.96 * chance.se
    said = "less than 1" if error < 0.5 else f"{error:.0f}"
    return f"{in_hundred(chance.mean)}, give or take {said}"


def gene_said(gene: GoalGene, copies: tuple[float, float, float]) -> str:
    """What an animal has of one gene of a goal, in a word or two."""
    none, _, two = copies
    if none >= SURE:
        return "none"
    if two >= SURE:
        return "shows it" if gene.is_hidden or not gene.tells_two else "two copies"
    if none <= 1 - SURE:
        return "carries it" if gene.is_hidden else "shows it"
    return f"{about(1 - none)}" + (" carries it" if gene.is_hidden else "")


def step_of(plan: Plan, number: int) -> Step:
    """Step of a plan by its number."""
    return next(one for one in plan.steps if one.number == number)


def by_year(plan: Plan) -> list[Step]:
    """Steps of a plan as they come, those of one year in their order."""
    return sorted(plan.steps, key=lambda one: (one.first_season, one.number))


def side_said(side: Side, plan: Plan, names: Names) -> SafeString:
    """Who stands on one side of a step, linked; what is to be bred by what it is."""
    if side.step is None:
        return or_listed([names.link(one) for one in side.animals])
    child = _CHILD[side.kind.sex]
    if len(plan.steps) > 2:
        place = [one.number for one in by_year(plan)].index(side.step) + 1
        return format_html("a {} of the {} step", child, _CAME.get(place, str(place)))
    return format_html("that {}", child)


def or_listed(links: list[SafeString]) -> SafeString:
    """Links with "or" before the last."""
    if len(links) < 2:
        return links[0] if links else SafeString()
    first = format_html_join(", ", "{}", ((one,) for one in links[:-1]))
    return format_html("{} or {}", first, links[-1])


def keep_said(step: Step, target: Target) -> str:
    """What a step is to bring, as a noun: "the goal", "a daughter that carries Clown"."""
    return "the goal" if step.is_goal else kind_said(step.keep, target)


def kind_said(kind: Kind, target: Target) -> str:
    """A young to be bred as a noun, with its share of the line."""
    share = f", at least {percent(kind.share)} {target.line}" if target.line and kind.share > LITTLE else ""
    return spaced(kind_words(kind, target, is_bred=True)) + share


def couple_said(step: Step, names: Names) -> str:
    """Both sides of a step in plain text, where both are at hand."""
    return f"{names.short(step.sire.animals[0])} with {names.short(step.dam.animals[0])}"


def young_said(chance: float) -> str:
    """A chance counted in young: "about 1 in 8 young is", "3 in 16 young are"."""
    said = about(chance)
    if said == "every one":
        return "every young is"
    return f"{said} young {'is' if ' 1 in' in f' {said}' else 'are'}"


def animals_of(plan: Plan) -> tuple[str, ...]:
    """Animals at hand that a plan counts on: the first of each side."""
    return tuple(dict.fromkeys(s.animals[0] for one in plan.steps for s in (one.sire, one.dam) if s.animals))


def is_number(value: float | None) -> bool:
    """Whether a value is known."""
    return value is not None and not math.isnan(value)


def names_listed(names: Names, animals: list[str]) -> str:
    """Calling names in a sentence."""
    return listed([names.short(one) for one in animals])


def mates_url(animal: str, key: str, names: Names) -> str:
    """Address of the page of all mates of an animal; empty where there is none."""
    pk = names.keys.get(animal)
    url = page_url("pages:mates", pk) if pk else ""
    return f"{url}?{urlencode({'project': key})}" if url else ""


def page_url(name: str, *args: object) -> str:
    """Address of a page by its url name; empty where there is no such page."""
    try:
        return reverse(name, args=args)
    except NoReverseMatch:
        return ""
