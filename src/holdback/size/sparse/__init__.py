"""Breeding values and variances of large pedigrees: no dense matrix of all animals is formed.

The equations are those of one trait with fixed groups; see `model`. `conjugate_gradient` solves them for any number of
animals, `factorise` exactly and with reliabilities where the factors stay sparse, `reml` estimates the variances,
`monte_carlo` does where the factors would be too large.
"""
