"""How big animals are, and what of it they pass on: growth, breeding values, line effects."""
