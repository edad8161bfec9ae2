"""Ideas: what an animal should be bred to, of a collection or not, with cautions and nevers first."""

from holdback.decisions.ideas.carried import Carried
from holdback.decisions.ideas.ideas import ideas
from holdback.decisions.ideas.result import (
    UNRELATED,
    Brought,
    Holder,
    Idea,
    Ideas,
    NamedCombo,
    Only,
    PossibleMate,
    RuledOut,
    Together,
)

__all__ = [
    "UNRELATED",
    "Brought",
    "Carried",
    "Holder",
    "Idea",
    "Ideas",
    "NamedCombo",
    "Only",
    "PossibleMate",
    "RuledOut",
    "Together",
    "ideas",
]
