"""One side of a comparison in a process of its own: inbreeding of all animals, own code or pedigree-graph.

    python descent_peer.py SIDE PEDIGREE.npy RESULT.npy

For every line read it works the whole thing out anew and answers with the seconds; the first time it writes the result.
At the end of the input it answers with its peak memory in MB. Two Pythons run it, as pedigree-graph needs 3.13, and it
imports nothing of this folder.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np


def own(parents: np.ndarray) -> np.ndarray:
    """Inbreeding by this project, numbering and all."""
    from holdback.descent.inbreeding_fast import inbreeding_fast

    return inbreeding_fast(parents)


def peer(parents: np.ndarray) -> np.ndarray:
    """Inbreeding by pedigree-graph, from arrays to the graph to the result."""
    from pedigree_graph import PedigreeGraph

    graph = PedigreeGraph.from_arrays(ids=np.arange(len(parents)), mother_ids=parents[:, 1], father_ids=parents[:, 0])
    return graph.inbreeding()


SIDES: dict[str, Callable[[np.ndarray], np.ndarray]] = {"own": own, "peer": peer}


def peak() -> float:
    """Most memory that the process held, in MB; 0 where the system does not tell.

    Not `getrusage`: it begins with what the parent process held.
    """
    status = Path("/proc/self/status")
    if not status.exists():
        return 0.0
    return next(int(line.split()[1]) / 1024.0 for line in status.read_text().splitlines() if line.startswith("VmHWM"))


def main() -> None:
    """Answer until the input ends."""
    side, given, result = sys.argv[1:]
    parents = np.load(given)
    # compiled or loaded before the clock
    SIDES[side](np.array([[-1, -1], [-1, -1], [0, 1], [0, 1], [2, 3]], dtype=np.int32))
    for number, _ in enumerate(sys.stdin):
        start = time.perf_counter()
        found = SIDES[side](parents)
        print(time.perf_counter() - start, flush=True)
        if not number:
            np.save(result, found)
    print(peak(), flush=True)


if __name__ == "__main__":
    main()
