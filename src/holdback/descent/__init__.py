"""Who descends from whom: pedigree, kinship, inbreeding, and how much of a line runs in an animal."""
