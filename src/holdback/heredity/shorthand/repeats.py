"""Several mentions of one allele brought down to one claim."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from holdback.heredity.shorthand.facts import Warn
from holdback.heredity.shorthand.mentions import Mention, Said

THREE_TIMES, BOTH_WAYS = "named three times", "absent and named"
"""Sources of a claim that contradicts itself and is held back."""

Remark = Callable[[str, str], None]
"""Report of a remark on the gene at hand: code and message."""

_BY_STRENGTH = (
    Said.TWO,
    Said.VISUAL,
    Said.OPEN_SUPER,
    Said.TWO_DOUBT,
    Said.ONE,
    Said.HET,
    Said.DOUBT,
    Said.OPEN_HET,
    Said.OPEN,
)


def one_claim(mentions: Sequence[Mention], warn: Warn) -> Mention:
    """The claim that all mentions of one allele make together.

    Parameters
    ----------
    mentions : sequence of Mention
        At least one, all of the same allele, in reading order.
    warn : callable
        Takes code, message, start and end of a remark.
    """
    if len(mentions) == 1:
        return mentions[0]
    last = mentions[-1]
    name = last.allele.name if last.allele else "the complex"
    kinds = [mention.said for mention in mentions]

    def remark(code: str, message: str) -> None:
        warn(code, message, last.start, last.end)

    if Said.ABSENT in kinds and set(kinds) != {Said.ABSENT}:
        remark("absent-and-named", f"{name} is written as absent and as present; it is held back.")
        return replace(mentions[0], source=BOTH_WAYS)
    if kinds.count(Said.ONE) > 1:
        counted = _counted(mentions, name, remark)
        if counted is not None:
            return counted
    hets = {mention.chance for mention in mentions if mention.said is Said.HET}
    if len(hets) > 1:
        remark("het-twice", f"{name} is het with two different chances; not stated until one goes.")
        claim = next(mention for mention in mentions if mention.said is Said.HET)
        if not set(kinds) & {Said.TWO, Said.VISUAL}:
            return replace(claim, said=Said.OPEN_HET, source="possible het")
    claim = min(mentions, key=lambda mention: _BY_STRENGTH.index(mention.said))
    _remark_rest(claim, mentions, name, remark)
    return claim


def _counted(mentions: Sequence[Mention], name: str, remark: Remark) -> Mention | None:
    """Claim of several one-copy mentions; None where a stronger mention settles it."""
    if any(mention.said in (Said.TWO, Said.OPEN_SUPER) for mention in mentions):
        return None
    ones = [mention for mention in mentions if mention.said is Said.ONE]
    direct = [mention for mention in ones if not mention.combo]
    merged = replace(direct[0] if direct else ones[0], source="super", end=ones[-1].end)
    if len(direct) > 2:
        remark("three-alleles", f"{name} is named {len(direct)} times; an animal has two copies at most. Held back.")
        return replace(merged, source=THREE_TIMES)
    if len(direct) == 2:
        return replace(merged, said=Said.TWO)
    combo = next(mention.combo for mention in ones if mention.combo)
    remark("combo-repeats-gene", f"{name} is part of {combo}: two copies, or said twice?")
    return replace(merged, said=Said.OPEN_SUPER, source="repeated")


def _remark_rest(claim: Mention, mentions: Sequence[Mention], name: str, remark: Remark) -> None:
    """Say what the claim overrules."""
    rest = [mention for mention in mentions if mention is not claim and not (mention.assumed and mention.combo)]
    if not rest:
        return
    if claim.said in (Said.TWO, Said.VISUAL, Said.ONE, Said.OPEN_SUPER) and any(
        mention.said in (Said.HET, Said.OPEN_HET, Said.DOUBT) and "het" in mention.source for mention in rest
    ):
        remark("het-and-visual", f"{name} is written as visual and as het; the visual stands.")
    elif claim.said is not Said.OPEN_SUPER and not all(mention.joined for mention in mentions[1:]):
        remark("named-again", f"{name} stands twice; it is counted once.")
