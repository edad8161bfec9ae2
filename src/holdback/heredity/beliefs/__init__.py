"""What each animal carries and how sure that is: exact inference over the whole pedigree.

`descent.family.Family` says who descends from whom, `Evidence` what was recorded, `infer` puts them together.
"""

from holdback.heredity.beliefs.beliefs import Beliefs, SireOdds
from holdback.heredity.beliefs.couple import parents_joint, states_of
from holdback.heredity.beliefs.evidence import Evidence, GeneRecord, LocusEvidence, RecordKind
from holdback.heredity.beliefs.inference import infer
from holdback.heredity.beliefs.memory import Memory
from holdback.heredity.beliefs.reading import evidence_of

__all__ = [
    "Beliefs",
    "Evidence",
    "GeneRecord",
    "LocusEvidence",
    "Memory",
    "RecordKind",
    "SireOdds",
    "evidence_of",
    "infer",
    "parents_joint",
    "states_of",
]
