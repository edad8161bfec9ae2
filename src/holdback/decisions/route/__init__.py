"""Several generations from the animals at hand to a goal: which crosses, in which order, and how likely they are.

The search proposes; a rehearsal quotes. See `search` for the method.
"""

from holdback.decisions.route.dead_ends import dead_end
from holdback.decisions.route.ways import Watch, Wishes, best_route, route

__all__ = ["Watch", "Wishes", "best_route", "dead_end", "route"]
