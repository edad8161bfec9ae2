"""One question, one answer: what the pages, the commands and the API ask of a collection.

Answers are worked out lazily from one frozen `Collection` and its species catalogue.
"""

from holdback.answers.answers import Answers
from holdback.answers.known import KnownGenes
from holdback.answers.pair import PairOdds, Parent

__all__ = ["Answers", "KnownGenes", "PairOdds", "Parent"]
