"""What came out of clutches beside what was foretold, without the young as their own witnesses."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from holdback.answers import Answers
from holdback.answers.season.ratios import GeneRatio, clutch_ratio, gene_ratios
from holdback.collection.collection import Collection
from holdback.species.catalogue import load

CATALOGUE = load()

SIRES = {"S": "Clown", "T": "Pastel", "N": "normal"}
DAMS = {"H": "het Clown", "P": "66% het Clown", "M": "normal", "L": "Pastel"}


def answers(sires: str, dam: str, young: Sequence[str | dict[str, str]], *, eggs: int = 0, **more: Any) -> Answers:
    """One clutch "K" of invented animals; a young is its genes, or columns of its row."""
    rows: list[dict[str, Any]] = [{"id": key, "sex": "male", "genes": genes} for key, genes in SIRES.items()]
    rows += [{"id": key, "sex": "female", "genes": genes} for key, genes in DAMS.items()]
    for number, one in enumerate(young):
        columns = {"genes": one} if isinstance(one, str) else one
        rows.append({"id": f"K-{number}", "clutch": "K", "sire": sires, "dam": dam, **columns})
    clutch = {"id": "K", "dam": dam, "sires": sires, "laid": "2024-04-01", "eggs": eggs or len(young), "slugs": 0}
    tables = {"animals": [*rows, *more.pop("animals", [])], "clutches": [clutch], **more}
    return Answers(Collection.from_frames(tables), CATALOGUE)


def gene(found: Sequence[GeneRatio], name: str) -> GeneRatio:
    return next(one for one in found if one.gene == name)


def test_clutch_ratio__visual_by_het_is_a_binomial() -> None:
    found = clutch_ratio(answers("S", "H", ["Clown"] * 6 + ["normal"], eggs=8), "K")
    assert found is not None
    assert {one.look: one.came for one in found.looks if one.came} == {"Clown": 6, "normal": 1}
    # she is het in 95 of 100 by her claim: 6, 1 and 7 Clowns are as unlikely or more, none at all is not; by hand
    assert found.p_value == pytest.approx(0.95 * (7 + 7 + 1) / 2**7, abs=1e-3)
    assert (found.n, found.unseen) == (7, 1)
    assert "1 egg has no look on record" in found.said


def test_gene_ratios__visual_by_het() -> None:
    found = gene(gene_ratios(answers("S", "H", ["Clown"] * 6 + ["normal"]), "K"), "Clown")
    assert (found.n, found.k) == (7, 6)
    assert found.chance == pytest.approx(0.5, abs=0.03)
    assert found.test.p_value == pytest.approx(0.95 * (7 + 7 + 1) / 2**7, abs=1e-3)


def test_clutch_ratio__nothing_to_hold_it_against() -> None:
    assert clutch_ratio(answers("S", "H", ["", ""]), "K") is None
    assert clutch_ratio(answers("", "H", ["Clown"]), "K") is None
    assert clutch_ratio(answers("S", "", ["Clown"]), "K") is None
    assert clutch_ratio(answers("S", "H", []), "K") is None
    assert gene_ratios(answers("S", "H", []), "K") == ()
