"""What is true in the demo, as CSV files beside the records: for checks, never read by the program."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from barn import Barn
from barren import LAYS_FIRST, LAYS_PROVEN
from boxes import MEAN_C
from genome import LOCI, Genome
from keeping import WRONG_DAM
from sizes import Sizes


def write_truth(barn: Barn, sizes: Sizes, folder: Path) -> None:
    """Write genotypes, parents, sizes and losses."""
    folder.mkdir(parents=True, exist_ok=True)
    snakes = list(barn.snakes.values())
    _write(
        folder / "genotypes.csv",
        ("animal", "locus", "from_dam", "from_sire"),
        ((snake.id, locus, *snake.genome.genes[locus]) for snake in snakes for locus in sorted(snake.genome.genes)),
    )
    _write(
        folder / "animals.csv",
        ("animal", "sex", "sire", "dam", "clutch", "marrowfen_share", "breeding_value", "environment", "adult_g"),
        (
            (
                snake.id,
                snake.genome.sex,
                snake.sire,
                snake.dam,
                snake.clutch,
                f"{snake.genome.line_share:.4f}",
                f"{snake.genome.size:.4f}",
                f"{sizes.environment[snake.id]:.4f}",
                f"{sizes.adult(snake):.0f}",
            )
            for snake in snakes
        ),
    )
    _write(
        folder / "lost_eggs.csv",
        ("clutch", "egg", "outcome", "sex", "genes"),
        (
            (nest.plan.id, egg.mark, egg.outcome, egg.genome.sex if egg.genome else "", _genes(egg.genome))
            for nest in barn.nests.values()
            for egg in nest.eggs
            if egg.outcome != "hatched"
        ),
    )
    _write(folder / "intervals.csv", ("what", "mean", "least", "most", "unit"), _intervals())
    _write(
        folder / "wrong_records.csv",
        ("record", "field", "written", "true"),
        [
            *((animal, "dam", dam, barn.snakes[animal].dam) for animal, dam in WRONG_DAM.items()),
            *(
                (nest.plan.id, "sires", nest.plan.written, nest.plan.sire)
                for nest in barn.nests.values()
                if nest.plan.written and nest.plan.written != nest.plan.sire
            ),
            *(
                (snake.id, "sex", snake.written_sex, snake.genome.sex)
                for snake in snakes
                if snake.written_sex not in (snake.genome.sex, "unknown")
            ),
            ("22-07", "mass on 2026-05-03", "166", "1660"),
            ("18-01", "line Marrowfen", "0.5 to 1", "0"),
            ("17-02", "genes", "66% het Pied", "does not carry it"),
            ("18-12", "genes", "poss YB", "does not carry it"),
            ("19-13", "genes", "Butter", "lesser"),
            ("19-17", "genes", "het Axanthic, line not named", "vpi-axanthic"),
        ],
    )


def _intervals() -> Iterator[tuple[object, ...]]:
    """Laws that the days were drawn from: mean, least and most; and the shares of eggs and seasons."""
    yield "ovulation to shed before laying", 19, 17, 21, "d"
    yield "shed before laying to laying", 30, 26, 34, "d"
    yield "ovulation to laying", 49, 43, 55, "d"
    yield "laying to first young out", 59, 57, 61, "d"
    yield "hatched to first shed", 10.5, 8, 13, "d"
    yield "hatched to first meal", 16.5, 12, 21, "d"
    yield "good egg dies", 0.11, "", "", ""
    yield "egg is a slug", 0.09, "", "", ""
    yield "paired female lays, first", LAYS_FIRST, "", "", ""
    yield "paired female lays, proven", LAYS_PROVEN, "", "", ""
    yield "warmth of the incubators", MEAN_C, "", "", "°C"


def _genes(genome: Genome | None) -> str:
    """Alleles of an egg that did not hatch, with copies."""
    if genome is None:
        return ""
    counted = {allele: genome.copies(allele) for allele in LOCI}
    return " ".join(f"{allele}={count}" for allele, count in counted.items() if count)


def _write(file: Path, header: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows(rows)
    file.write_bytes(out.getvalue().encode())
