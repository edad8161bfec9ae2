"""Goals, and what to do for them: mates, the season's pairings, routes, rehearsals, what to hold back.

Everything here takes frozen values and gives frozen values; `holdback.answers.decisions` puts a collection before it.
"""
