"""Pedigrees of any kind with records on some of their nodes."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st
from tests.descent.strategies import pedigrees

from holdback.descent.pedigree import Pedigree
from holdback.size.mixed_model import Records

VARIANCES = (0.5, 1.0, 3.0)


@st.composite
def recorded(draw: st.DrawFn, *, most: int = 8) -> tuple[Pedigree, Records]:
    """A pedigree and two records or more, with a mean and a covariate that may be constant."""
    pedigree = draw(pedigrees())
    n = draw(st.integers(2, most))
    node = st.integers(0, len(pedigree) - 1)
    animals = np.array(draw(st.lists(node, min_size=n, max_size=n)))
    values = np.array(draw(st.lists(st.integers(-20, 20), min_size=n, max_size=n)), dtype=np.float64)
    covariate = np.array(draw(st.lists(st.integers(0, 2), min_size=n, max_size=n)), dtype=np.float64)
    return pedigree, Records(values, animals, np.column_stack([np.ones(n), covariate]))
