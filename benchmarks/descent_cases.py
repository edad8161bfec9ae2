"""A1 to A5: inbreeding of all animals of a large pedigree."""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import descent_pedigrees
import measuring
import numpy as np
import numpy.typing as npt
from scipy import sparse

from holdback.descent.inbreeding_fast import inbreeding_fast

SAME = 1e-12
SIDE = Path(__file__).with_name("descent_peer.py")
SOURCE = Path(__file__).resolve().parents[1] / "src"
DENSE = 2000
"""Animals of the smaller pedigree, bred alike, that the whole table is made of."""

FloatArray = npt.NDArray[np.float64]


def run(*, short: bool) -> Iterator[measuring.Measured]:
    """All cases."""
    if short:
        yield _against_sparse("A5a", 20_000, few=True)
        yield _against_sparse("A5b", 20_000, few=False)
        return
    yield _against_peer("A1", 1_000_000, few=True)
    yield _against_peer("A2", 1_000_000, few=False)
    yield _against_peer("A3a", 5_000_000, few=True, repeats=3)
    yield _against_peer("A3b", 5_000_000, few=False, repeats=3)
    yield _against_sparse("A4", 100_000, few=False)


def peer_python() -> str | None:
    """Interpreter that has the peer: HOLDBACK_PEER_PYTHON, else python3.13; None where there is none."""
    python = os.environ.get("HOLDBACK_PEER_PYTHON") or shutil.which("python3.13")
    if python is None:
        return None
    asked = subprocess.run([python, "-c", "import pedigree_graph"], check=False, capture_output=True)
    return python if asked.returncode == 0 else None


class _Side:
    """A process that works out the whole thing each time it is asked."""

    def __init__(self, python: str, name: str, pedigree: Path) -> None:
        self.result = pedigree.with_name(f"{name}.npy")
        environment = os.environ | {"PYTHONPATH": str(SOURCE)} if name == "own" else None
        self.process = subprocess.Popen(
            [python, str(SIDE), name, str(pedigree), str(self.result)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env=environment,
        )

    def seconds(self) -> float:
        """Seconds of one time."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.write("\n")
        self.process.stdin.flush()
        return float(self.process.stdout.readline())

    def peak(self) -> float:
        """End the process; its peak memory in MB."""
        said, _ = self.process.communicate()
        return float(said)


def _against_peer(case: str, animals: int, *, few: bool, repeats: int = measuring.REPEATS) -> measuring.Measured:
    """Own process and the peer's in turns, after one time each to warm; both from the same file."""
    what = f"inbreeding of {animals:,}, {'few sires' if few else 'random mating'}"
    python = peer_python()
    with tempfile.TemporaryDirectory() as folder:
        pedigree = Path(folder) / "pedigree.npy"
        np.save(pedigree, descent_pedigrees.overlapping(animals, few=few))
        sides = [_Side(sys.executable, "own", pedigree)]
        sides += [] if python is None else [_Side(python, "peer", pedigree)]
        times = [[side.seconds() for side in sides] for _ in range(repeats + 1)][1:]
        peaks = [side.peak() for side in sides]
        results = [np.load(side.result) for side in sides]
    mine = [each[0] for each in times]
    if python is None:
        middle, spread = statistics.median(mine), (min(mine), max(mine))
        return measuring.Measured(case, f"{what}; peer not here", middle, spread, notes={"peak_mb": peaks[0]})
    difference = float(np.abs(results[0] - results[1]).max())
    if difference > SAME:
        raise measuring.WrongError(f"{case}: inbreeding differs from the peer's by {difference:.3g}")
    found = measuring.compared(case, what, mine, [each[1] for each in times])
    found.notes.update(peak_mb=peaks[0], peer_peak_mb=peaks[1], difference=difference)
    return found


def _against_sparse(case: str, animals: int, *, few: bool) -> measuring.Measured:
    """Own code against scipy.sparse in turns; a smaller pedigree against the whole table as well."""
    parents = descent_pedigrees.overlapping(animals, few=few)
    found = inbreeding_fast(parents)
    difference = float(np.abs(found - sparse_inbreeding(parents)).max())
    small = descent_pedigrees.overlapping(DENSE, few=few)
    dense = float(np.abs(inbreeding_fast(small) - dense_inbreeding(small)).max())
    if max(difference, dense) > SAME:
        raise measuring.WrongError(f"{case}: inbreeding differs by {difference:.3g}, from the whole table {dense:.3g}")
    mine, theirs = measuring.alternate(
        lambda: inbreeding_fast(parents), lambda: sparse_inbreeding(parents), rounds=(10, 1)
    )
    what = f"inbreeding of {animals:,}, {'few sires' if few else 'random mating'}, scipy.sparse"
    measured = measuring.compared(case, what, mine, theirs)
    measured.notes.update(difference=difference, difference_table=dense)
    return measured


def sparse_inbreeding(parents: descent_pedigrees.IntArray) -> FloatArray:
    """F by A = T D T': T is the sum of the powers of the parent matrix, D follows generation by generation."""
    n = len(parents)
    known = parents >= 0
    rows = np.broadcast_to(np.arange(n)[:, None], parents.shape)[known]
    step = sparse.csr_array((np.full(len(rows), 0.5), (rows, parents[known])), shape=(n, n))
    power = total = sparse.eye_array(n, format="csr")
    generation = np.zeros(n, dtype=np.int64)
    while (power := (power @ step).tocsr()).nnz:
        total = total + power
        generation += np.diff(power.indptr) > 0
    squares = total.multiply(total).tocsr()
    # the last place stands for an unknown parent
    found, variance = np.append(np.zeros(n), -1.0), np.zeros(n)
    for number in range(generation.max() + 1):
        here = np.flatnonzero(generation == number)
        variance[here] = 0.5 - 0.25 * found[parents[here]].sum(axis=1)
        found[here] = squares[here] @ variance - 1.0
    return found[:n]


def dense_inbreeding(parents: descent_pedigrees.IntArray) -> FloatArray:
    """F by the whole table."""
    table = np.zeros((len(parents), len(parents)))
    for animal, (sire, dam) in enumerate(parents.tolist()):
        for parent in (sire, dam):
            if parent >= 0:
                table[animal, :animal] += 0.5 * table[parent, :animal]
        table[:animal, animal] = table[animal, :animal]
        table[animal, animal] = 1.0 + (0.5 * table[sire, dam] if min(sire, dam) >= 0 else 0.0)
    return np.diag(table) - 1.0
