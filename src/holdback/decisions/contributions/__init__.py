"""How much each animal of a line should give to the next generation, and the litters that come nearest to it."""
