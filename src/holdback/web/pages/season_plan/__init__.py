"""The pairings of a season as a board: who goes with whom, moved by hand, and kept."""
