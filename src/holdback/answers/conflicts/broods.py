"""Conflicts of whole broods, put into words: wrong parents, swapped young, sires that settle themselves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from holdback.answers.conflicts.candidates import Breeders
from holdback.answers.conflicts.conflict import Conflict, Explanation, Kind
from holdback.answers.conflicts.rivals import Hypothesis, Rivalry
from holdback.answers.conflicts.screening import WRONG, OddRecord
from holdback.answers.conflicts.singles import record_conflict
from holdback.answers.conflicts.whatif import OtherParent
from holdback.answers.conflicts.wording import listed, named, percent, verb
from holdback.collection.collection import Collection
from holdback.descent.family import UNKNOWN_SIRE, Brood
from holdback.heredity.beliefs.beliefs import Beliefs
from holdback.heredity.beliefs.evidence import RecordKind
from holdback.heredity.beliefs.states import by_state
from holdback.heredity.genotype import WILD_PAIR
from holdback.species.catalogue import Catalogue

REPORTED = 0.3
"""Chance that a record is wrong from which a conflict is told."""
_NAMED = 0.02
"""Chance below which an explanation is not named."""
_LEAST = 0.001
"""Chance of the recorded parents below which a new carrier is not named."""
_SETTLED = 0.95
_GAIN = 0.5
"""Log likelihood that a locus must add to be named."""
_NEW = 0.2
"""Chance without the brood up to which a carrier is new."""


@dataclass(frozen=True)
class BroodWords:
    """Puts the rivals of a brood into words.

    Parameters
    ----------
    collection, catalogue, beliefs, breeders
        Records, species, beliefs of all records, and who may be a parent.
    """

    collection: Collection
    catalogue: Catalogue
    beliefs: Beliefs
    breeders: Breeders

    def of_brood(self, rivalry: Rivalry, doubted: Sequence[OddRecord]) -> Conflict | None:
        """Conflict of a brood, or the sire found for one that has none on record; None where nothing is to be said."""
        if not rivalry.hypotheses:
            return None
        is_open = self.breeders.is_open(rivalry.brood)
        return self.found_sire(rivalry) if is_open else self.conflict(rivalry, doubted)

    def conflict(self, rivalry: Rivalry, doubted: Sequence[OddRecord] = ()) -> Conflict | None:
        """Conflict of a brood, None where the records as they are remain likely; `doubted` are records held wrong."""
        brood = rivalry.brood
        loci = self._speaking(rivalry)
        own = self.covered(rivalry, doubted)
        chance = 1.0 - rivalry.as_recorded * (1.0 - max((one.wrong for one in own), default=0.0))
        if chance < REPORTED:
            return None
        explanations = [
            self._explanation(brood, each, rivalry.chance(each))
            for each in rivalry.hypotheses
            if rivalry.chance(each) >= _NAMED
        ]
        explanations += self._carriers(rivalry, loci)
        single = {one.record.key: self._of_record(one, rivalry.as_recorded) for one in own}
        explanations += [each.explanations[0] for each in single.values() if each.explanations[0].chance >= _NAMED]
        explanations.sort(key=lambda each: -each.chance)
        first = explanations[0] if explanations else None
        for each in single.values():
            if first is each.explanations[0]:
                return replace(each, chance=chance, explanations=tuple(explanations))
        message = self._message(rivalry, loci)
        questions = (f"First: {first.settles}",) if first and first.settles else ()
        odd = [rivalry.hypotheses[0].young] if loci == [] else self._odd_young(brood, loci)
        animals = tuple(dict.fromkeys([*filter(None, odd), *brood.young, *self._parents(brood)]))
        code = "CNF-023" if self.breeders.is_misdated(brood) else "CNF-020"
        return Conflict(code, animals, loci[0] if loci else "", message, chance, tuple(explanations), questions)

    def covered(self, rivalry: Rivalry, doubted: Sequence[OddRecord]) -> list[OddRecord]:
        """Records held wrong because of a brood: those of its young, and of its parents if they hold without it."""
        brood = rivalry.brood
        sides = {brood.sires[0].animal: rivalry.sire, brood.dam: rivalry.dam}
        found = []
        for one in doubted:
            other = sides.get(one.record.animal)
            if one.record.animal in brood.young:
                found.append(one)
            elif other is not None and one.record.animal in self.collection.animals:
                states, chances = other.without_young(one.record.animal, one.locus)
                if float(chances @ by_state(one.record.wrong.astype(np.float64), states)) < WRONG:
                    found.append(one)
        return found

    def found_sire(self, rivalry: Rivalry) -> Conflict | None:
        """Sire of a brood of which none is recorded, where the looks of the young point to one."""
        males = [each for each in rivalry.hypotheses if each.kind in (Kind.SIRE, Kind.STORED)]
        total = np.logaddexp.reduce([each.log_weight for each in males]) if males else 0.0
        best = max(males, key=lambda each: each.log_weight, default=None)
        if best is None or best.animal == UNKNOWN_SIRE:
            return None
        chance = float(np.exp(best.log_weight - total))
        if chance < _SETTLED - 0.15:
            return None
        brood = rivalry.brood
        name = named(self.collection, best.animal)
        words = f"Of the males on record {name} fits best: {percent(chance)}."
        explanation = Explanation(
            Kind.SIRE, words, chance, f"Write {best.animal} as the sire if it was put to the dam.", self._record(brood),
            "sires", best.animal, f"Was {name} with {named(self.collection, brood.dam or UNKNOWN_SIRE)} that season?",
        )  # fmt: skip
        message = f"Clutch {brood.key} has no recorded sire; the looks of its young point to {name}."
        animals = (*brood.young, *self._parents(brood), best.animal)
        return Conflict("CNF-022", animals, "", message, chance, (explanation,), (explanation.settles,))

    def settled_sire(self, brood: Brood) -> Conflict | None:
        """Sire of a brood with several recorded candidates, where the young settle it."""
        recorded = self.collection.animals[brood.young[0]].sires
        if len(recorded) < 2:
            return None
        best = max(self.beliefs.sires(brood.key), key=lambda each: each.posterior)
        if best.posterior < _SETTLED or best.prior > _SETTLED or best.sire not in self.collection.animals:
            return None
        name = named(self.collection, best.sire)
        words = f"{name} is the sire: {percent(best.posterior)}, {percent(best.prior)} before the young were looked at."
        fix = f"Write {best.sire} as the only sire."
        explanation = Explanation(Kind.SIRE, words, best.posterior, fix, self._record(brood), "sires", best.sire)
        others = listed([named(self.collection, one.animal) for one in recorded])
        message = f"Clutch {brood.key} is written as of {others}; the looks of the young fit {name} only."
        return Conflict("CNF-021", (*brood.young, best.sire), "", message, best.posterior, (explanation,))

    def _of_record(self, odd: OddRecord, as_recorded: float) -> Conflict:
        """Conflict of one record, as likely as it is wrong with the parents as recorded."""
        found = record_conflict(odd, self.collection, self.catalogue, self.beliefs)
        only = replace(found.explanations[0], chance=odd.wrong * as_recorded)
        return replace(found, explanations=(only,))

    # --- words ----------------------------------------------------------------------------------------------------

    def _message(self, rivalry: Rivalry, loci: list[str]) -> str:
        brood = rivalry.brood
        parents = listed([named(self.collection, one) for one in self._parents(brood)])
        sentences = [self._at_locus(rivalry, locus) for locus in loci[:2]]
        sentences = [each for each in sentences if each]
        if self.breeders.is_misdated(brood):
            day = self.collection.animals[brood.young[0]].hatched
            sentences.insert(
                0,
                f"{listed(list(brood.young))} hatched {day}, and the clutch of "
                f"{named(self.collection, str(brood.dam))} that season on other days",
            )
        if not sentences:
            first = rivalry.hypotheses[0]
            young = [first.young] if first.young else list(brood.young)
            sentences = [f"{listed(young)} {verb(len(young), 'hardly fits', 'hardly fit')} {parents} as parents"]
            if first.nest:
                sentences.append(f"clutch {first.nest}, of about the same day, fits better")
        return "; ".join(sentences) + "."

    def _at_locus(self, rivalry: Rivalry, locus: str) -> str:
        """What the young show or are said to carry that the recorded parents can hardly have given."""
        brood = rivalry.brood
        young = self._odd_young(brood, [locus])
        gene = self._gene(young, locus)
        if not young:
            return ""
        says = f"{listed(young)} {verb(len(young), 'is', 'are')} written with {gene}"
        new = self._new_carriers(rivalry, locus)
        if new:
            names = " or ".join(named(self.collection, parent) for parent, _ in new)
            before = max(chance for _, chance in new)
            them = verb(len(young), "it", "them")
            return f"{says}, and apart from {them} nothing says that {names} carries it ({percent(before)})"
        parents = listed([named(self.collection, one) for one in self._parents(brood)])
        return f"{says}, which hardly fits {parents} as parents"

    def _gene(self, young: list[str], locus: str) -> str:
        records = self.beliefs.evidence.loci[locus].records
        words = {record.words for one in young for record in records.get(one, ()) if _names_a_gene(record.words)}
        plain = {each.removeprefix("may show ").removeprefix("shows ") for each in words if " show" in f" {each}"}
        if plain:
            return listed(sorted(plain))
        return self.catalogue.loci[locus].name

    def _odd_young(self, brood: Brood, loci: list[str]) -> list[str]:
        """Young whose records name a gene of one of the loci."""
        found = []
        for young in brood.young:
            records = [one for key in loci for one in self.beliefs.evidence.loci[key].records.get(young, ())]
            if any(_names_a_gene(one.words) and (one.kind is RecordKind.LOOK or one.counted) for one in records):
                found.append(young)
        return found

    def _speaking(self, rivalry: Rivalry) -> list[str]:
        """Loci at which the likeliest other parent fits better, the strongest first; none for one strange young."""
        if rivalry.hypotheses[0].kind is Kind.SWAP:
            return []
        for each in rivalry.hypotheses:
            other = rivalry.dam if each.kind is Kind.DAM else rivalry.sire
            if each.kind in (Kind.SIRE, Kind.DAM, Kind.STORED, Kind.TWO_SIRES) and other is not None:
                is_unknown = each.animal == UNKNOWN_SIRE
                chances = other.unknown() if is_unknown else other.of(each.animal, self.beliefs)
                gains = other.log_ratio_by_locus(chances)
                return sorted((key for key, gain in gains.items() if gain > _GAIN), key=lambda key: -gains[key])
        return []

    def _carriers(self, rivalry: Rivalry, loci: list[str]) -> list[Explanation]:
        """A recorded parent that carries a gene of which nothing else speaks: no record is wrong then."""
        if not loci or rivalry.as_recorded < _LEAST:
            return []
        gene = self._gene(self._odd_young(rivalry.brood, loci[:1]), loci[0])
        found = []
        for parent, _ in self._new_carriers(rivalry, loci[0]):
            if self._would_show(parent, loci[0]):
                continue
            name = named(self.collection, parent)
            carries = 1.0 - self.beliefs.at(parent, loci[0]).get(WILD_PAIR, 0.0)
            words = f"{name} carries {gene}, of which nothing was known; no record is wrong then."
            test = f"Put {name} to an animal that shows {gene} and look at the young."
            record, chance = f"animal {parent}", rivalry.as_recorded * carries
            found.append(Explanation(Kind.CARRIER, words, chance, "Nothing to correct.", record, settles=test))
        return found

    def _would_show(self, animal: str, locus: str) -> bool:
        """Whether the look on record is wrong if the animal has one copy."""
        records = self.beliefs.evidence.loci[locus].records.get(animal, ())
        return any(each.kind is RecordKind.LOOK and each.wrong[0, 1:].any() for each in records)

    def _new_carriers(self, rivalry: Rivalry, locus: str) -> list[tuple[str, float]]:
        """Recorded parents of which nothing but the brood says that they carry a gene, with the chance without it."""
        brood = rivalry.brood
        found = []
        for parent, other in ((brood.sires[0].animal, rivalry.sire), (brood.dam, rivalry.dam)):
            if other is not None and parent is not None and parent in self.collection.animals:
                before = _carries(other, parent, locus)
                if before < _NEW:
                    found.append((parent, before))
        return found

    def _explanation(self, brood: Brood, each: Hypothesis, chance: float) -> Explanation:
        record = self._record(brood)
        who = named(self.collection, each.animal) if each.animal not in ("", "none") else ""
        dam = named(self.collection, brood.dam) if brood.dam else "the dam"
        young = listed(list(brood.young)) if len(brood.young) < 3 else "the young"
        if each.kind in (Kind.SIRE, Kind.STORED):
            how = ", by sperm kept from the season before" if each.kind is Kind.STORED else ""
            known = " It was put to the dam that season." if each.was_there and each.kind is Kind.SIRE else ""
            words = f"The sire is {who}{how}.{known}"
            fix = "Set the sire to unknown." if each.animal == UNKNOWN_SIRE else f"Write {each.animal} as the sire."
            settles = f"Look up when {dam} was put to which males; a shed test of {young} and the males settles it."
            return Explanation(each.kind, words, chance, fix, record, "sires", _known(each.animal), settles)
        if each.kind is Kind.DAM:
            words = f"The dam is {who}." + (" She has a clutch that hatched about that day." if each.was_there else "")
            fix = "Set the dam to unknown." if each.animal == UNKNOWN_SIRE else f"Write {each.animal} as the dam."
            settles = f"Look up in which box {young} hatched; a shed test of {young} and the females settles it."
            return Explanation(each.kind, words, chance, fix, record, "dam", _known(each.animal), settles)
        if each.kind is Kind.SWAP:
            words = f"{each.young} is of another clutch" + (f": it fits clutch {each.nest}." if each.nest else ".")
            fix = f"Check the label of {each.young}; set its parents to unknown until it is clear."
            settles = f"Compare the photos and the egg numbers of {each.young} and its clutch mates."
            return Explanation(each.kind, words, chance, fix, f"animal {each.young}", "clutch", each.nest, settles)
        if each.kind is Kind.TWO_SIRES:
            words = f"The clutch has two sires: the recorded one and {who}."
            fix = f"Write both males as possible sires, {each.animal} among them."
            return Explanation(each.kind, words, chance, fix, record, "sires", each.animal, f"A shed test of {young}.")
        words = f"There was no sire; all young are of {dam} alone."
        settles = f"Sex {young} again: without a sire all are female."
        return Explanation(each.kind, words, chance, "Write none as the sire.", record, "sires", "none", settles)

    def _record(self, brood: Brood) -> str:
        is_clutch = brood.key in self.collection.clutches
        return f"clutch {brood.key}" if is_clutch else f"animal {brood.young[0]}"

    def _parents(self, brood: Brood) -> Iterator[str]:
        yield from self.beliefs.family.parents(brood.young[0])


def _carries(other: OtherParent, parent: str, locus: str) -> float:
    """Chance that a recorded parent carries a named allele, the young of the brood saying nothing of it."""
    states, chances = other.without_young(parent, locus)
    wild = states.partition[0]
    return float(sum(p for (a, b), p in zip(states.pairs, chances.tolist(), strict=True) if a != wild or b != wild))


def _names_a_gene(words: str) -> bool:
    return not words.startswith(("described without", "looks normal", "died")) and not words.endswith("not seen")


def _known(animal: str) -> str:
    return "" if animal == UNKNOWN_SIRE else animal
