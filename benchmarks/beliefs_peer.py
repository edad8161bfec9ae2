"""The same pedigree in pyAgrum: every animal a node, every record a likelihood."""

from __future__ import annotations

import warnings

import beliefs
import numpy as np

with warnings.catch_warnings():
    # its compiled part names types without a module
    warnings.filterwarnings("ignore", "builtin type .* has no __module__ attribute", DeprecationWarning)
    import pyagrum as gum


def network(animals: beliefs.Pedigree) -> gum.BayesNet:
    """Bayesian network of all animals."""
    net = gum.BayesNet()
    net.beginTopologyTransformation()
    nodes = [net.add(gum.LabelizedVariable(f"a{animal}", "", 3)) for animal in range(len(animals.parents))]
    for animal, pair in enumerate(animals.parents):
        for parent in pair or ():
            net.addArc(nodes[parent], nodes[animal])
    net.endTopologyTransformation()
    # The youngest variable of a table runs fastest; the other two are alike, so that their order does not matter.
    inherited = beliefs.INHERITED.ravel().tolist()
    founder = beliefs.FOUNDER.tolist()
    for node, pair in zip(nodes, animals.parents, strict=True):
        net.cpt(node).fillWith(founder if pair is None else inherited)
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
    """Chances of the breeders, shape (n_breeders, 3)."""
    lazy.makeInference()
    return np.array([lazy.posterior(animal).toarray() for animal in animals.breeders])
