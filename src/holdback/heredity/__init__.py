"""Inheritance: trade shorthand, genotypes, crosses."""
