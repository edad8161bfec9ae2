"""Mixed models of quantitative genetics: breeding values by pedigree, and the variances behind them."""

from holdback.size.mixed_model.additive import AdditiveValues, UnknownParentGroups
from holdback.size.mixed_model.animal_model import Lines, Solution, Variances, animal_model, sires_of
from holdback.size.mixed_model.equations import Effects, Term, solve
from holdback.size.mixed_model.maternal_model import MaternalSolution, MaternalVariances, maternal_model
from holdback.size.mixed_model.records import Records, incidence
from holdback.size.mixed_model.several_traits import TraitRecords, TraitSolution, several_traits

__all__ = [
    "AdditiveValues",
    "Effects",
    "Lines",
    "MaternalSolution",
    "MaternalVariances",
    "Records",
    "Solution",
    "Term",
    "TraitRecords",
    "TraitSolution",
    "UnknownParentGroups",
    "Variances",
    "animal_model",
    "incidence",
    "maternal_model",
    "several_traits",
    "sires_of",
    "solve",
]
