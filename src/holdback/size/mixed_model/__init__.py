"""Mixed models of quantitative genetics: breeding values by pedigree, and the variances behind them."""

from holdback.size.mixed_model.additive import AdditiveValues, UnknownParentGroups
from holdback.size.mixed_model.animal_model import Lines, Solution, Variances, animal_model, sires_of
from holdback.size.mixed_model.equations import Effects, Term, solve
from holdback.size.mixed_model.heritability import (
    HeritabilityPosterior,
    heritability_log_likelihood,
    heritability_posterior,
)
from holdback.size.mixed_model.maternal_model import MaternalSolution, MaternalVariances, maternal_model
from holdback.size.mixed_model.random_effect import RandomEffect
from holdback.size.mixed_model.records import Records, incidence
from holdback.size.mixed_model.reml import RemlFit, reml
from holdback.size.mixed_model.several_traits import TraitRecords, TraitSolution, several_traits
from holdback.size.mixed_model.shrinkage import shrunken

__all__ = [
    "AdditiveValues",
    "Effects",
    "HeritabilityPosterior",
    "Lines",
    "MaternalSolution",
    "MaternalVariances",
    "RandomEffect",
    "Records",
    "RemlFit",
    "Solution",
    "Term",
    "TraitRecords",
    "TraitSolution",
    "UnknownParentGroups",
    "Variances",
    "animal_model",
    "heritability_log_likelihood",
    "heritability_posterior",
    "incidence",
    "maternal_model",
    "reml",
    "several_traits",
    "shrunken",
    "sires_of",
    "solve",
]
