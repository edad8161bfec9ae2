"""Several generations from the animals at hand to a goal: which crosses, in which order, and how likely they are.

The search proposes; a rehearsal quotes. See `search` for the method.
"""

from holdback.decisions.route.dead_ends import dead_end
from holdback.decisions.route.front import routes
from holdback.decisions.route.looking import Watch, Wishes
from holdback.decisions.route.relaxing import Relaxed, relaxed
from holdback.decisions.route.ways import best_route, route

__all__ = ["Relaxed", "Watch", "Wishes", "best_route", "dead_end", "relaxed", "route", "routes"]
