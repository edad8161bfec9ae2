"""The few animals of a set of trials as a product of tables, under one mode.

A young used as a parent stays among the young counted: given its parents, its state is drawn among those that have its
look, which equals taking it out of the count and putting it in by itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from holdback.collection.model import Sex
from holdback.heredity.proving.checking import DAM, SIRE, animals
from holdback.heredity.proving.elimination import Factor, summed
from holdback.heredity.proving.modes import (
    IS_HETEROGAMETIC,
    N_STATES,
    OPPOSITE,
    Assumptions,
    FloatArray,
    Mode,
    ModeTables,
    mode_tables,
)
from holdback.heredity.proving.trials import Kind, Look, OddAnimal, Partner, SexCounts, Trial


@dataclass(frozen=True, eq=False)
class TrialFamily:
    """Named trials under one mode.

    Parameters
    ----------
    odd : OddAnimal
        The odd animal.
    trials : tuple of Trial
        From `named_trials`.
    mode : Mode
        How the look is passed on.
    given : Assumptions
        Error rates and the like.
    """

    odd: OddAnimal
    trials: tuple[Trial, ...]
    mode: Mode
    given: Assumptions

    @property
    def tables(self) -> ModeTables:
        """Tables of the mode."""
        return mode_tables(self.mode, self.given)

    def log_likelihood(self) -> float:
        """Log P(young and sibs as counted | mode, the odd animal as it is); counts in one given order."""
        start = self._start()
        _, log_before = summed(start)
        _, log_after = summed([*start, *self._evidence()])
        return log_after - log_before

    def pair(self, first: Partner, second: Partner, extra: Sequence[Partner] = ()) -> FloatArray:
        """P(states of two animals | mode, everything counted, they are of opposite sexes), shape (7, 7).

        Parameters
        ----------
        first, second : Partner
            Named partners, of the trials or new.
        extra : sequence of Partner
            Further new animals that the two descend from.
        """
        known = animals(self.trials)
        new = {partner.key: partner for partner in (*extra, first, second) if partner.key not in known}
        factors = [*self._start(), *self._evidence()]
        for partner in new.values():
            factors += self._animal(partner)
        factors.append(Factor((first.key, second.key), OPPOSITE.astype(float)))
        joint, _ = summed(factors, keep=(first.key, second.key))
        share: FloatArray = joint / joint.sum()
        return share

    def _start(self) -> list[Factor]:
        """The odd animal and its parents: what is taken for granted."""
        tables, odd = self.tables, self.odd
        sire = self._founder(Sex.MALE, normal=odd.sire_normal)
        dam = self._founder(Sex.FEMALE, normal=odd.dam_normal)
        allowed = tables.odd * self._of_sex(odd.sex)
        return [
            Factor((SIRE,), sire),
            Factor((DAM,), dam),
            Factor((SIRE, DAM, odd.key), tables.first_birth * allowed),
        ]

    def _founder(self, sex: Sex, *, normal: bool) -> FloatArray:
        """States of a parent of the odd animal."""
        tables = self.tables
        return tables.founder * self._of_sex(sex) * (tables.normal if normal else 1.0)

    def _evidence(self) -> list[Factor]:
        """Every other animal, and the young counted."""
        found = [self._counted((SIRE, DAM), [self.odd.sibs[look] for look in Look])]
        for partner in animals(self.trials).values():
            found += self._animal(partner)
        for trial in self.trials:
            found.append(self._counted((trial.parent.key, trial.mate.key), [trial.counts(look) for look in Look]))
        return found

    def _animal(self, partner: Partner) -> list[Factor]:
        """How one partner comes to its state; nothing for the odd animal and its parents."""
        tables = self.tables
        sexed = self._of_sex(partner.sex)
        if partner.kind in (Kind.ITSELF, Kind.PARENT):
            return []
        if partner.kind is Kind.SIB:
            counts = self.odd.sibs[partner.look]
            return [Factor((SIRE, DAM, partner.key), self._young(partner, counts))]
        if partner.kind is Kind.YOUNG:
            assert partner.trial is not None
            trial = self.trials[partner.trial]
            table = self._young(partner, trial.counts(partner.look))
            return [Factor((trial.parent.key, trial.mate.key, partner.key), table)]
        look = tables.seen[:, Look.NORMAL if partner.kind is Kind.UNRELATED else Look.ODD]
        stranger = tables.founder * sexed * look
        stranger = stranger / stranger.sum()
        if partner.kind is Kind.OTHER_ODD:
            alike = tables.founder * sexed * tables.odd
            stranger = self.given.same * alike / alike.sum() + (1.0 - self.given.same) * self._plain(sexed)
        return [Factor((partner.key,), stranger)]

    def _plain(self, sexed: FloatArray) -> FloatArray:
        """States of an unrelated animal whose odd look has another cause."""
        states = self.tables.founder * sexed
        share: FloatArray = states / states.sum()
        return share

    def _young(self, partner: Partner, counts: SexCounts) -> FloatArray:
        """P(state of a young | states of its parents, its look and sex as counted), shape (7, 7, 7)."""
        tables = self.tables
        looking = tables.birth * tables.seen[:, partner.look]
        own = looking * self._of_sex(partner.sex)
        counted_by_sex = partner.sex is not Sex.UNKNOWN and (counts.of(partner.sex) > 0 or not counts.total)
        whole = (own if counted_by_sex else looking).sum(axis=2, keepdims=True)
        share: FloatArray = np.divide(own, whole, out=np.zeros_like(own), where=whole > 0.0)
        return share

    def _of_sex(self, sex: Sex) -> FloatArray:
        """1 at the states of a sex, shape (7,)."""
        if sex is Sex.UNKNOWN:
            return np.ones(N_STATES)
        heterogametic = sex is self.given.heterogametic
        return np.asarray(IS_HETEROGAMETIC if heterogametic else ~IS_HETEROGAMETIC, dtype=np.float64)

    def _counted(self, parents: tuple[str, str], counts: Sequence[SexCounts]) -> Factor:
        """P(counts by `Look` and sex | states of the parents), up to the number of orders."""
        chances = self.tables.by_class
        males = int(self.given.heterogametic is Sex.MALE)
        log_table = np.zeros((N_STATES, N_STATES))
        with np.errstate(divide="ignore"):
            log_chances, log_either = np.log(chances), np.log(chances.sum(axis=3))
        for look, number in enumerate(counts):
            for column, sex in ((males, Sex.MALE), (1 - males, Sex.FEMALE)):
                if number.of(sex):
                    log_table += number.of(sex) * log_chances[:, :, look, column]
            if number.of(Sex.UNKNOWN):
                log_table += number.of(Sex.UNKNOWN) * log_either[:, :, look]
        top = float(log_table[OPPOSITE].max())
        return Factor(parents, OPPOSITE * np.exp(log_table - top), top)
