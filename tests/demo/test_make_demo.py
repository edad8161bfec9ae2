"""The demo is what its generator writes, and truth is known."""

import csv
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from holdback.answers import Answers
from holdback.collection.collection import Collection
from holdback.collection.estimate import Basis
from holdback.demo_data import folder
from holdback.species.catalogue import load
from holdback.species.model import pair

GENERATOR = Path(__file__).parents[2] / "demo" / "make_demo.py"


@pytest.fixture(scope="module")
def collection() -> Collection:
    return Collection.from_folder(folder() / "collection")


def test_make_demo__writes_the_same_bytes_again(tmp_path: Path) -> None:
    subprocess.run([sys.executable, str(GENERATOR), str(tmp_path)], check=True, cwd=GENERATOR.parent)
    written = {each.relative_to(tmp_path): each.read_bytes() for each in tmp_path.rglob("*") if each.is_file()}
    assert len(written) >= 12
    assert {path: (folder() / path).read_bytes() for path in written} == written


def test_demo__six_seasons_with_clutches_and_weights(collection: Collection) -> None:
    years = {clutch.laid.year for clutch in collection.clutches.values() if clutch.laid}
    assert len(years) >= 6
    assert len(collection.animals) >= 150
    assert len(collection.records.measurements) >= 1000


def test_demo__looks_are_true_but_for_few(collection: Collection) -> None:
    """What is written as shown agrees with the simulated genotype, but for the errors put in on purpose."""
    with (folder() / "truth" / "genotypes.csv").open(encoding="utf-8", newline="") as file:
        true = {(row["animal"], row["locus"]): (row["from_dam"], row["from_sire"]) for row in csv.DictReader(file)}
    answers, catalogue = Answers(collection, load()), load()
    right = wrong = 0
    for animal_id in collection.animals:
        belief = answers.genes(animal_id).belief
        for locus, basis in belief.basis.items():
            if basis is Basis.MEASURED:
                alleles = true.get((animal_id, locus), ("+", "+"))
                seen = {catalogue.look(locus, each).key for each in belief.loci[locus]}
                right += catalogue.look(locus, pair(*alleles)).key in seen
                wrong += catalogue.look(locus, pair(*alleles)).key not in seen
    assert right > 150
    assert wrong <= 0.1 * right


def test_messy__expected_rows_are_described() -> None:
    with (folder() / "messy-expected.toml").open("rb") as file:
        assert len(tomllib.load(file)["row"]) >= 60
