"""The animal model against the same model written out with the covariance of records."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from tests.descent.strategies import shuffled
from tests.size.mixed_model.mixed_strategies import VARIANCES, recorded

from holdback.collection.model import Sex
from holdback.descent.kinship import relationship
from holdback.descent.pedigree import UNKNOWN, Draft, Pedigree, assembled
from holdback.descent.unknown_parent_groups import group_contributions
from holdback.errors import SizeError
from holdback.size.lines import LineShares
from holdback.size.mixed_model import (
    Lines,
    MaternalVariances,
    Records,
    Solution,
    UnknownParentGroups,
    Variances,
    animal_model,
    incidence,
    maternal_model,
    sires_of,
)

FloatArray = npt.NDArray[np.float64]

EXACT = 1e-8
"""Of values up to twenty, with matrices of condition up to some thousands."""

variances = st.builds(Variances, *(st.sampled_from(VARIANCES) for _ in range(3)))


def reference(
    pedigree: Pedigree, records: Records, given: Variances, shares: FloatArray, line_variance: float
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Breeding values, PEV, total values and their PEV by the covariance of records; no equations.

    Fixed effects by generalised least squares, random ones by regression on records; line effects are random.
    """
    reading = incidence(records.animals, len(pedigree))
    genetic = relationship(pedigree) * given.additive
    total = genetic + shares @ shares.T * line_variance
    covariance = reading @ (total + np.eye(len(pedigree)) * given.permanent) @ reading.T
    inverse = np.linalg.inv(covariance + np.diag(np.broadcast_to(given.residual, len(records.values))))
    fixed = np.linalg.pinv(records.fixed.T @ inverse @ records.fixed)
    projection = inverse - inverse @ records.fixed @ fixed @ records.fixed.T @ inverse
    found = []
    for prior in (genetic, total):
        towards = prior @ reading.T
        found += [towards @ projection @ records.values, (prior - towards @ projection @ towards.T).diagonal()]
    return found[0], found[1], found[2], found[3]


def close(found: npt.ArrayLike, told: npt.ArrayLike) -> None:
    np.testing.assert_allclose(np.asarray(found), np.asarray(told), rtol=0, atol=EXACT)


@given(recorded(), variances, st.sampled_from(VARIANCES), st.data())
def test_animal_model__equals_generalised_least_squares(
    drawn: tuple[Pedigree, Records], given: Variances, line_variance: float, data: st.DataObject
) -> None:
    """Nodes of candidates, animals without a sire and nodes without a variance of their own are among them."""
    pedigree, records = drawn
    share = st.sampled_from([0.0, 0.25, 0.5, 1.0])
    shares = np.array(data.draw(st.lists(share, min_size=len(pedigree), max_size=len(pedigree))))[:, None]
    found = animal_model(records, pedigree, given, lines=Lines(shares, float(np.sqrt(line_variance))))
    values, pev, total, total_pev = reference(pedigree, records, given, shares, line_variance)
    close(found.breeding_values, values)
    close(found.pev, pev)
    close(found.total_values, total)
    close(found.total_pev, total_pev)
    close(found.reliability, 1.0 - pev / (relationship(pedigree).diagonal() * given.additive))


@given(recorded(), variances)
def test_animal_model__pev_is_the_diagonal_of_the_inverse(drawn: tuple[Pedigree, Records], given: Variances) -> None:
    """Of the whole equations, written with the inverse of A as such, where A has one."""
    pedigree, records = drawn
    table = relationship(pedigree)
    assume(np.linalg.cond(table) < 1e6)
    one_mean = Records(records.values, records.animals, np.ones((len(records.values), 1)))
    design = np.hstack([one_mean.fixed, incidence(records.animals, len(pedigree))])
    left = design.T @ design / given.residual
    left[1:, 1:] += np.linalg.inv(table) / given.additive
    found = animal_model(one_mean, pedigree, Variances(given.additive, given.residual))
    inverse = np.linalg.inv(left)
    close(found.pev, inverse.diagonal()[1:])
    close(found.effects.covariance_of("fixed"), inverse[:1, :1])
    close(found.breeding_values, (inverse @ (design.T @ records.values / given.residual))[1:])


@given(recorded(), variances, st.data())
def test_animal_model__order_changes_nothing(
    drawn: tuple[Pedigree, Records], given: Variances, data: st.DataObject
) -> None:
    pedigree, records = drawn
    names = [*pedigree.ids, None]  # the last for unknown parents
    parents = {
        name: (names[sire], names[dam]) for name, (sire, dam) in zip(pedigree.ids, pedigree.parents, strict=True)
    }
    candidates = {
        pedigree.ids[node]: tuple((pedigree.ids[one], weight) for one, weight in sires)
        for node, sires in pedigree.candidates.items()
    }
    order = data.draw(st.permutations(list(pedigree.ids)))
    other = assembled(shuffled(Draft(parents, {}, candidates=candidates), order), {}, pedigree.kept)
    rows = np.arange(len(records.values))[::-1]
    animals = np.array([other.index[pedigree.ids[node]] for node in records.animals[rows]])
    turned = animal_model(Records(records.values[rows], animals, records.fixed[rows]), other, given)
    found = animal_model(records, pedigree, given)
    back = [other.index[name] for name in pedigree.ids]
    close(turned.breeding_values[back], found.breeding_values)
    close(turned.pev[back], found.pev)


@given(recorded(), variances, st.sampled_from([None, 1.0, 2.0]), st.data())
def test_animal_model__groups_equal_their_contributions(
    drawn: tuple[Pedigree, Records], given: Variances, prior_sd: float | None, data: st.DataObject
) -> None:
    """The QP form and Q as covariates, fixed or random, are one model."""
    pedigree, records = drawn
    groups = np.full((len(pedigree), 2), UNKNOWN)
    for node, side in np.argwhere(pedigree.parents == UNKNOWN):
        if node not in pedigree.candidates:
            groups[node, side] = data.draw(st.integers(UNKNOWN, 1))
    asked = UnknownParentGroups(groups[:, 0], groups[:, 1], 2, prior_sd)
    shares = group_contributions(pedigree, groups[:, 0], groups[:, 1], 2)
    implicit = animal_model(records, pedigree, given, groups=asked)
    explicit = animal_model(records, pedigree, given, lines=Lines(shares, prior_sd))
    np.testing.assert_array_equal(
        implicit.effects.is_set[implicit.effects.places["additive"]][-2:],
        explicit.effects.is_set[explicit.effects.places["lines"]],
    )
    close(implicit.total_values, explicit.total_values)
    close(implicit.breeding_values, explicit.breeding_values)
    close(implicit.pev, explicit.pev)
    close(implicit.total_pev, explicit.total_pev)


@given(recorded(), variances)
def test_animal_model__animals_without_records_change_nothing(
    drawn: tuple[Pedigree, Records], given: Variances
) -> None:
    pedigree, records = drawn
    more = pedigree.with_young([(0, len(pedigree) - 1)], ["?young"])
    found, told = animal_model(records, more, given), animal_model(records, pedigree, given)
    close(found.breeding_values[:-1], told.breeding_values)
    close(found.pev[:-1], told.pev)


def family() -> tuple[Pedigree, Records]:
    pedigree = Pedigree.from_parents({"K": ("S", "D"), "L": ("S", "E"), "M": (None, "E")})
    animals = np.array([pedigree.index[one] for one in "KLM"])
    return pedigree, Records(np.array([12.0, 8.0, 9.0]), animals, np.ones((3, 1)))


def faults(model: object) -> list[str]:
    assert callable(model)
    with pytest.raises(SizeError) as caught:
        model()
    return [f"{fault.code} {fault.what}" for fault in caught.value.faults]


def test_records__that_do_not_hold_together() -> None:
    pedigree, records = family()
    given = Variances(1.0, 1.0)
    short = Records(records.values, records.animals[:2], records.fixed)
    assert faults(lambda: animal_model(short, pedigree, given)) == [
        "SIZ-201 There are 3 values, 2 animals and 3 rows of fixed effects."
    ]
    wrong = Records(np.array([1.0, np.nan, 2.0]), np.array([0, 1, 9]), records.fixed)
    assert faults(lambda: animal_model(wrong, pedigree, given)) == [
        "SIZ-202 Record 1 is nan, or one of its fixed effects is no number.",
        "SIZ-203 Record 2 is of node 9; the pedigree has nodes 0 to 5.",
    ]


@pytest.mark.parametrize(
    "given, of_what",
    [
        (Variances(0.0, 1.0), "breeding values"),
        (Variances(1.0, 0.0), "the residuals"),
        (Variances(1.0, 1.0, -1.0), "permanent environments"),
    ],
)
def test_variances__that_cannot_be(given: Variances, of_what: str) -> None:
    pedigree, records = family()
    (told,) = faults(lambda: animal_model(records, pedigree, given))
    assert told.startswith(f"SIZ-204 The covariance of {of_what} is not positive definite: ")


def test_sires_of__names_all_without() -> None:
    pedigree, records = family()
    with pytest.raises(SizeError, match=r"SIZ-205 animal M, field animals: .* through the sire"):
        sires_of(pedigree, records.animals)


def test_lines__are_taken_at_their_means() -> None:
    pedigree, records = family()
    shares = np.where(np.array(pedigree.ids) == "S", 1.0, 0.0)
    shares[[pedigree.index["K"], pedigree.index["L"]]] = 0.5
    lines = Lines.of([LineShares("Hollow", shares, np.zeros(len(shares)))], prior_sd=1.0)
    given = Variances(1.0, 1.0)
    assert same(
        animal_model(records, pedigree, given, lines=lines),
        animal_model(records, pedigree, given, lines=Lines(shares[:, None], 1.0)),
    )


def same(one: Solution, other: Solution) -> bool:
    return bool((one.total_values == other.total_values).all())


@given(recorded(), st.sampled_from(VARIANCES), st.sampled_from(VARIANCES), st.sampled_from([-0.5, 0.0, 0.5]))
def test_maternal_model__equals_generalised_least_squares(
    drawn: tuple[Pedigree, Records], direct: float, maternal: float, correlation: float
) -> None:
    pedigree, records = drawn
    kept = pedigree.parents[records.animals, 1] != UNKNOWN
    assume(kept.any())
    records = Records(records.values[kept], records.animals[kept], records.fixed[kept])
    across = correlation * np.sqrt(direct * maternal)
    genetic = np.array([[direct, across], [across, maternal]])
    found = maternal_model(records, pedigree, MaternalVariances(genetic, 2.0, 0.5))
    table = relationship(pedigree)
    dams = incidence(pedigree.parents[records.animals, 1].astype(np.int64), len(pedigree))
    reading = np.hstack([incidence(records.animals, len(pedigree)), dams])
    prior = np.kron(genetic, table)
    inverse = np.linalg.inv(reading @ prior @ reading.T + 0.5 * dams @ dams.T + 2.0 * np.eye(len(records.values)))
    fixed = np.linalg.pinv(records.fixed.T @ inverse @ records.fixed)
    projection = inverse - inverse @ records.fixed @ fixed @ records.fixed.T @ inverse
    towards = prior @ reading.T
    close(found.breeding_values.T.ravel(), towards @ projection @ records.values)
    close(found.pev.T.ravel(), (prior - towards @ projection @ towards.T).diagonal())
    close(found.permanent_dam, 0.5 * dams.T @ projection @ records.values)


def test_maternal_model__asks_for_a_dam() -> None:
    pedigree = Pedigree.from_parents({"K": ("S", None)}, sexes={"K": Sex.MALE})
    records = Records(np.array([1.0, 2.0]), np.array([0, 1]), np.ones((2, 1)))
    told = faults(lambda: maternal_model(records, pedigree, MaternalVariances(np.eye(2), 1.0)))
    assert told == ["SIZ-205 The model reads each record through the dam, and the pedigree has none."] * 2
