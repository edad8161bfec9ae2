"""Names as people type them: case, hyphens, spaces and a plural do not count."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from holdback.errors import Fault
from holdback.species.model import Allele, Combo, NotAGene

Entry = Allele | Combo | NotAGene
"""What a name can stand for."""


def normal_form(text: str) -> str:
    """Letters and digits of a name in lower case.

    Parameters
    ----------
    text : str
        Name as typed.

    Returns
    -------
    str
        Empty if the text holds no letter or digit.

    Examples
    --------
    >>> normal_form("Killer-Bee") == normal_form("killerbee")
    True
    """
    return "".join(letter for letter in text.casefold() if letter.isalnum())


def title_of(key: str) -> str:
    """Name that follows from a key where none is written.

    Examples
    --------
    >>> title_of("orange-dream")
    'Orange Dream'
    """
    return " ".join(word[:1].upper() + word[1:] for word in key.split("-"))


def slug_of(name: str) -> str:
    """Key that follows from a name.

    Examples
    --------
    >>> slug_of("8-Ball"), slug_of("Blue-eyed Lucy")
    ('8-ball', 'blue-eyed-lucy')
    """
    words = "".join(letter if letter.isalnum() else " " for letter in name.casefold()).split()
    return "-".join(words)


def spellings(entry: Entry) -> Iterator[str]:
    """Name and aliases of an entry, as written in the file."""
    yield entry.name
    yield from entry.aliases


def index_of(entries: Iterable[Entry]) -> tuple[dict[str, Entry], list[Fault]]:
    """Normal form of every name and alias with its entry, and a fault for each name that two entries share.

    Parameters
    ----------
    entries : iterable of Allele, Combo or NotAGene
        In the order in which the first keeps a shared name.
    """
    index: dict[str, Entry] = {}
    faults: list[Fault] = []
    for entry in entries:
        for spelling in spellings(entry):
            form = normal_form(spelling)
            holder = index.setdefault(form, entry)
            if holder is not entry:
                faults.append(_clash(spelling, entry, holder))
    return index, faults


def _clash(spelling: str, entry: Entry, holder: Entry) -> Fault:
    return Fault(
        "SPE-023",
        f"The name {spelling!r} stands for both {holder.name} and {entry.name}.",
        "Give each its own name, or take the alias out of one.",
        field=getattr(entry, "key", entry.name),
        value=spelling,
    )


def found_in(index: Mapping[str, Entry], text: str) -> Entry | None:
    """Entry that a text names, with or without a plural ending; None if it names none."""
    form = normal_form(text)
    tries = [form]
    if form.endswith("ies"):
        tries.append(form[:-3] + "y")
    if form.endswith("es"):
        tries.append(form[:-2])
    if form.endswith("s"):
        tries.append(form[:-1])
    return next((index[each] for each in tries if each in index), None)


def nearest_name(index: Mapping[str, Entry], text: str) -> str:
    """Name of the entry spelled nearest to a text, empty if none comes near."""
    from difflib import get_close_matches

    near = get_close_matches(normal_form(text), index, n=1, cutoff=0.72)
    return index[near[0]].name if near else ""
