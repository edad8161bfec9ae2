"""One model of all weights at once: a growth curve for each animal, with its genes, its line and its keeping in it."""
