"""Write the invented collection of the demo: ``python demo/make_demo.py [FOLDER]``.

Without a folder it rewrites ``src/holdback/demo_data`` in place, byte for byte as before.
"""

from __future__ import annotations

import sys
from pathlib import Path

from barn import barn
from keeping import records
from labels import write_labels
from messy import write_messy
from messy_log import write_messy_log
from sizes import Sizes
from truth import write_truth

from holdback.collection.collection import Collection

HERE = Path(__file__).resolve().parent.parent / "src" / "holdback" / "demo_data"


def make(folder: Path) -> None:
    """Write records, truth and the messy sheets into a folder."""
    everything = barn()
    write_labels(everything)
    sizes = Sizes(everything)
    Collection.from_records(records(everything, sizes)).to_folder(folder / "collection")
    write_truth(everything, sizes, folder / "truth")
    write_messy(everything, sizes, folder)
    write_messy_log(folder)


if __name__ == "__main__":
    make(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
