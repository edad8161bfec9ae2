"""Sires that are fixed because the genes decide them, against exact inference."""

from __future__ import annotations

import pytest
from tests.heredity.beliefs.pedigrees import NORMAL, VISUAL, claim, evidence_at, recessive, record

from holdback.collection.model import Candidate, Sex
from holdback.descent.family import Brood, Family
from holdback.heredity.beliefs import Evidence, Memory, infer
from holdback.heredity.beliefs import deciding as deciding_module
from holdback.heredity.beliefs import inference as inference_module
from holdback.heredity.beliefs.deciding import decided
from holdback.heredity.beliefs.inference import layouts_of
from holdback.heredity.beliefs.unit import batches

CLUTCHES = 4


def _collection(young: int) -> tuple[Family, Evidence]:
    """Visual dams put to a visual and to a plain male; all young are visual, so the visual male sired them."""
    sexes = {"V": Sex.MALE, "N": Sex.MALE}
    records = [claim("V", (1e-9, 1e-9, 1.0), 0.01), record("N", NORMAL)]
    broods = []
    for clutch in range(CLUTCHES):
        dam, names = f"D{clutch}", tuple(f"K{clutch}{number}" for number in range(young))
        sexes |= {dam: Sex.FEMALE} | dict.fromkeys(names, Sex.UNKNOWN)
        records += [claim(dam, (1e-9, 1e-9, 1.0), 0.01), *(record(name, VISUAL) for name in names)]
        broods.append(Brood(f"C{clutch}", dam, (Candidate("V", 0.4), Candidate("N", 0.6)), names))
    return Family(sexes, tuple(broods)), evidence_at(recessive("a", 0.01, records))


def test_decided__the_genes_overrule_the_weights(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(deciding_module, "MOST_OPEN", 1)
    family, evidence = _collection(young=4)
    exact = infer(family, evidence)
    layout = next(one for one in layouts_of(family, evidence) if one.switches)
    found = decided(layout, evidence, batches(evidence), Memory())
    assert not found.layout.switches
    assert {found.layout.sire_of[f"K{clutch}0"].node for clutch in range(CLUTCHES)} == {"V"}
    doubt = sum(exact.sires(f"C{clutch}")[1].posterior for clutch in range(CLUTCHES))
    assert doubt <= found.error <= 3 * doubt
    assert found.error < deciding_module.MOST_ERROR


def test_decided__the_most_doubtful_stay_open(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(deciding_module, "MOST_OPEN", 4)
    family, evidence = _collection(young=2)
    layout = next(one for one in layouts_of(family, evidence) if one.switches)
    found = decided(layout, evidence, batches(evidence), Memory())
    assert len(found.layout.switches) == 2
    assert len(found.fixed) == CLUTCHES - 2


def test_infer__states_what_fixing_may_cost(monkeypatch: pytest.MonkeyPatch) -> None:
    family, evidence = _collection(young=4)
    exact = infer(family, evidence)
    monkeypatch.setattr(deciding_module, "MOST_OPEN", 1)
    monkeypatch.setattr(inference_module, "MOST_ENTRIES", max(_entries(family, evidence)) - 1)
    fixed = infer(family, evidence, memory=Memory())
    assert exact.exact
    assert not fixed.exact
    assert 0.0 < fixed.standard_error <= deciding_module.MOST_ERROR
    for animal in family.sexes:
        assert fixed.copies(animal, "a", "a") == pytest.approx(exact.copies(animal, "a", "a"), abs=fixed.standard_error)
    for clutch in range(CLUTCHES):
        assert fixed.sires(f"C{clutch}")[0].posterior == pytest.approx(
            exact.sires(f"C{clutch}")[0].posterior, abs=fixed.standard_error
        )


def _entries(family: Family, evidence: Evidence) -> list[int]:
    return [group.plan.entries for unit in infer(family, evidence).units for group in getattr(unit, "groups", ())]
