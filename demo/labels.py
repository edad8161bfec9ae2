"""What the keeper wrote of each animal's genes: by eye, with slips, and hets by the parents as written."""

from __future__ import annotations

import re

from barn import Barn, Snake
from chance import Chance
from plan import CLUTCHES

RECESSIVE = {
    "clown": "Clown",
    "piebald": "Pied",
    "vpi-axanthic": "Axanthic VPI",
    "tsk-axanthic": "Axanthic TSK",
}
STORY = {"22-11": "Enchi poss YB 50% het Clown", "22-05": "Pastel Clown", "19-01": "Enchi het Clown"}
"""Texts that other pages rely on; each is what the rules below would allow."""


def write_labels(barn: Barn) -> None:
    """Fill in the written genes of every animal, parents before young."""
    written = {plan.id: plan for plan in CLUTCHES}
    for snake in barn.snakes.values():
        if not snake.clutch:
            snake.hets = _said(snake.written_genes)
            continue
        plan = written[snake.clutch]
        sire = plan.written or plan.sire
        parents = [barn.snakes[plan.dam], *([barn.snakes[sire]] if sire in barn.snakes else [])]
        _label(snake, parents)


def _said(text: str) -> dict[str, float]:
    """Hets and visuals of a bought animal, from its label."""
    found = {}
    for allele, name in RECESSIVE.items():
        match = re.search(rf"(?:(\d+)% )?(het )?{name}", text)
        if match:
            found[allele] = 2.0 if not match[2] else float(match[1] or 100) / 100
    return found


def _label(snake: Snake, parents: list[Snake]) -> None:
    """Genes of a young as written at hatching."""
    genome, chance = snake.genome, Chance("label", snake.id)
    hets = []
    texts = " ".join(parent.written_genes for parent in parents)
    if sum(genome.copies(allele) for allele in ("mojave", "lesser", "butter")) < 2:
        looks = _by_eye(snake, chance, "Butter" if "Butter" in texts else "Lesser")
    else:
        looks = ["Lesser Mojave" if "Lesser" in texts and "Mojave" in texts else "Blue-eyed Lucy"]
    for allele, name in RECESSIVE.items():
        if genome.copies(allele) == 2:
            looks.append(name)
            snake.hets[allele] = 2.0
            continue
        first, second = (*(_passed(parent.hets.get(allele, 0.0)) for parent in parents), 0.0)[:2]
        chance_of_one = (first + second - 2 * first * second) / (1 - first * second) if first * second < 1 else 1.0
        if chance_of_one >= 0.3:
            snake.hets[allele] = chance_of_one
            percent = int(100 * chance_of_one + 1e-9)
            hets.append(f"het {name}" if percent == 100 else f"{percent}% het {name}")
    text = " ".join([*looks, *hets])
    snake.written_genes = STORY.get(snake.id, text or ("Normal" if chance.happens(0.6) else ""))


def _passed(known: float) -> float:
    """Chance that a parent passes the allele on, by what is written of it."""
    return 1.0 if known == 2.0 else known / 2


def _by_eye(snake: Snake, chance: Chance, lesser: str) -> list[str]:
    """Genes that show, as a keeper names them; Yellow Belly is missed or imagined now and then."""
    genome, looks = snake.genome, []
    bee = genome.copies("spider") and genome.copies("pastel") == 1 and chance.happens(0.6)
    for allele, name in (("banana", "Banana"), ("pastel", "Pastel"), ("enchi", "Enchi"), ("hidden-gene-woma", "HGW")):
        copies = genome.copies(allele)
        if copies and not (allele == "pastel" and bee):
            looks.append(f"Super {name}" if copies == 2 else name)
    looks.extend(name for allele, name in (("mojave", "Mojave"), ("lesser", lesser)) if genome.copies(allele))
    if genome.copies("spider"):
        looks.append("Bumblebee" if bee else "Spider")
    yellow = genome.copies("yellow-belly")
    if yellow == 2:
        looks.append("Ivory")
    elif yellow and chance.happens(0.75):
        looks.append("YB" if chance.happens(0.6) else "poss YB")
    elif not yellow and chance.happens(0.04):
        looks.append("poss YB")
    return looks
