"""Proving an odd animal, and test-breeding a possible carrier."""

from holdback.heredity.proving.possible_carrier import CarrierTests, Mate, MateTest, carrier_tests, recessive_proof

__all__ = ["CarrierTests", "Mate", "MateTest", "carrier_tests", "recessive_proof"]
