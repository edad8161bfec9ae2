"""The same pedigree in pyAgrum: every animal a node, every record a likelihood."""

from __future__ import annotations

import warnings

import beliefs
import numpy as np

with warnings.catch_warnings():
    # its compiled part names types without a module
    warnings.filterwarnings("ignore", "builtin type .* has no __module__ attribute", DeprecationWarning)
    import pyagrum as gum


def network(
    animals: beliefs.Pedigree,
    founder: beliefs.FloatArray = beliefs.FOUNDER,
    inherited: beliefs.FloatArray = beliefs.INHERITED,
) -> gum.BayesNet:
    """Bayesian network of all animals.

    Parameters
    ----------
    animals : Pedigree
        Who descends from whom.
    founder : float array, shape (n_states,)
        Chance of each genotype of a founder; of two alleles unless given.
    inherited : float array, shape (n_states, n_states, n_states)
        Chance of each genotype of the young (last), by sire and dam.
    """
    net = gum.BayesNet()
    net.beginTopologyTransformation()
    nodes = [net.add(gum.LabelizedVariable(f"a{animal}", "", len(founder))) for animal in range(len(animals.parents))]
    for animal, pair in enumerate(animals.parents):
        for parent in pair or ():
            net.addArc(nodes[parent], nodes[animal])
    net.endTopologyTransformation()
    # The youngest variable of a table runs fastest; the other two are alike, so that their order does not matter.
    of_young, of_founder = inherited.ravel().tolist(), founder.tolist()
    for node, pair in zip(nodes, animals.parents, strict=True):
        net.cpt(node).fillWith(of_founder if pair is None else of_young)
    return net


def inference(net: gum.BayesNet, animals: beliefs.Pedigree) -> gum.LazyPropagation:
    """Lazy propagation with the records in place, asked for the breeders."""
    lazy = gum.LazyPropagation(net)
    lazy.eraseAllTargets()
    for animal in animals.breeders:
        lazy.addTarget(animal)
    for animal, record in animals.records.items():
        lazy.addEvidence(animal, record.tolist())
    return lazy


def marginals(lazy: gum.LazyPropagation, animals: beliefs.Pedigree) -> beliefs.FloatArray:
    """Chances of the breeders, shape (n_breeders, n_states)."""
    lazy.makeInference()
    return np.array([lazy.posterior(animal).toarray() for animal in animals.breeders])
