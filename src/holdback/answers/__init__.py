"""One question, one answer: what the pages, the commands and the API ask of a collection.

Answers are worked out lazily from one frozen `Collection` and its species catalogue.
"""

from holdback.answers.answers import Answers, PairOdds, Parent
from holdback.answers.recorded import RecordedGenes, recorded_genes

__all__ = ["Answers", "PairOdds", "Parent", "RecordedGenes", "recorded_genes"]
