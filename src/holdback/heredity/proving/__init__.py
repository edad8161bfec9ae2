"""Proving an odd animal, and test-breeding a possible carrier."""

from holdback.heredity.proving.modes import PRIOR, Assumptions, Mode
from holdback.heredity.proving.pairings import Pairing, Pairings, next_pairings
from holdback.heredity.proving.possible_carrier import CarrierTests, Mate, MateTest, carrier_tests, recessive_proof
from holdback.heredity.proving.recorded import trials_of
from holdback.heredity.proving.trials import ITSELF, Kind, Look, OddAnimal, Partner, SexCounts, Trial
from holdback.heredity.proving.verdict import Verdict, weigh

__all__ = [
    "ITSELF",
    "PRIOR",
    "Assumptions",
    "CarrierTests",
    "Kind",
    "Look",
    "Mate",
    "MateTest",
    "Mode",
    "OddAnimal",
    "Pairing",
    "Pairings",
    "Partner",
    "SexCounts",
    "Trial",
    "Verdict",
    "carrier_tests",
    "next_pairings",
    "recessive_proof",
    "trials_of",
    "weigh",
]
