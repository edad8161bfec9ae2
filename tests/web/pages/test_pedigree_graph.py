"""What a pedigree drawing shows, and how its animals are called: each once, whatever leads to it."""

from __future__ import annotations

from holdback.collection.collection import Collection
from holdback.collection.model import Sex
from holdback.descent.family import Family
from holdback.descent.from_family import pedigree_of
from holdback.descent.pedigree import Pedigree
from holdback.web.pages.pedigree import graph, words
from holdback.web.pages.pedigree.graph import Box, Graph, Kind, Role, graph_of

Row = dict[str, str]

BACKCROSS: list[Row] = [
    {"id": "M", "sex": "male"},
    {"id": "Q", "sex": "female"},
    {"id": "T", "sex": "female", "sire": "M", "dam": "Q"},
    {"id": "U", "sex": "female", "sire": "M", "dam": "T", "hatched": "2022"},
]


def drawn(rows: list[Row], animal: str, **asked: int | bool | str) -> tuple[Graph, words.Names]:
    """Graph of an animal, and what its animals are called."""
    collection = Collection.from_frames({"animals": rows})
    pedigree = pedigree_of(collection, Family.from_collection(collection))
    beside = asked.pop("beside", None)
    other = None if beside is None else pedigree.index[str(beside)]
    found = graph_of(pedigree, pedigree.index[animal], beside=other, **asked)  # type: ignore[arg-type]  # options by name
    return found, words.Names(pedigree, collection)


def box(found: Graph, animal: str) -> Box:
    node = found.pedigree.index[animal]
    return next(one for one in found.boxes if node in one.nodes)


def ids(found: Graph) -> set[str]:
    return {found.pedigree.ids[node] for one in found.boxes for node in one.nodes}


def related(rows: list[Row], animal: str, **asked: int | bool | str) -> dict[str, str]:
    """Relation of each box by the id of its first animal."""
    found, names = drawn(rows, animal, **asked)
    return {found.pedigree.ids[node]: said for node, said in words.relations(found, names).items()}


def test_graph__draws_a_backcross_parent_once_with_two_lines() -> None:
    found, names = drawn(BACKCROSS, "U")
    assert sorted(len(one.nodes) for one in found.boxes) == [1, 1, 1, 1]
    node = found.pedigree.index["M"]
    assert sum(parent == node for nest in found.nests for parent, _ in nest.parents) == 2
    assert words.repeated(found, names) == "M stands in it twice: sire and dam's sire."


def test_graph__stops_at_the_generations_asked_for_and_marks_the_cut() -> None:
    found, _ = drawn([*BACKCROSS, {"id": "V", "sire": "N", "dam": "U"}, {"id": "N", "sex": "male"}], "V", up=1)
    assert ids(found) == {"V", "N", "U"}
    assert box(found, "U").is_cut
    assert not box(found, "N").is_cut


def test_graph__joins_what_is_drawn_also_where_the_way_is_cut() -> None:
    found, _ = drawn(BACKCROSS, "U", up=1)
    assert ids(found) == {"U", "M", "T"}
    nest = next(one for one in found.nests if found.pedigree.index["T"] in one.young)
    assert nest.parents == ((found.pedigree.index["M"], 1.0),)
    assert box(found, "T").is_cut, "her dam is on record and not drawn"


CLUTCH = [*BACKCROSS, *({"id": f"U{n}", "sire": "M", "dam": "T", "hatched": "2022"} for n in range(5))]


def test_graph__folds_clutch_mates_without_young() -> None:
    found, _ = drawn(CLUTCH, "U")
    mates = box(found, "U3")
    assert (mates.kind, mates.role, len(mates.nodes)) == (Kind.MORE, Role.CLUTCH_MATE, 5)
    assert words.folded(found, mates) == "5 more"
    single, _ = drawn([*CLUTCH, {"id": "W", "dam": "U3", "hatched": "2025"}], "U")
    assert box(single, "U3").kind is Kind.ANIMAL, "one with young stands by itself"
    assert len(box(single, "U0").nodes) == 4


def test_graph__unfolds_when_asked() -> None:
    found, _ = drawn(CLUTCH, "U", is_folded=False)
    assert len(found.boxes) == 9
    assert all(one.kind is Kind.ANIMAL for one in found.boxes)


def test_graph__never_folds_the_animal_beside() -> None:
    found, _ = drawn(CLUTCH, "U", beside="U2")
    assert box(found, "U2").role is Role.ASKED
    assert len(box(found, "U0").nodes) == 4


def test_graph__draws_the_other_parents_of_young_but_not_their_ancestors() -> None:
    rows = [*BACKCROSS, {"id": "G", "sex": "male"}, {"id": "B", "sex": "male", "sire": "G"}]
    rows += [{"id": "Y", "sire": "B", "dam": "U", "hatched": "2025"}]
    found, _ = drawn(rows, "U", up=0)
    assert ids(found) == {"U", "B", "Y"}
    assert box(found, "B").role is Role.OTHER_PARENT
    assert box(found, "B").is_cut
    assert related(rows, "U", up=0)["B"] == "sire of 1 drawn young"


def test_graph__shows_doubtful_sires_with_their_chances() -> None:
    rows = [*BACKCROSS, {"id": "S", "sex": "male"}, {"id": "Y", "sire": "M:0.7|S:0.2", "dam": "U", "hatched": "2025"}]
    found, names = drawn(rows, "Y", up=1)
    nest = next(one for one in found.nests if found.pedigree.index["Y"] in one.young)
    chances = {found.pedigree.ids[parent]: round(chance, 6) for parent, chance in nest.parents}
    unknown = next(name for name in chances if name.startswith("?"))
    assert chances == {"M": 0.7, "S": 0.2, unknown: 0.1, "U": 1.0}
    assert box(found, unknown).kind is Kind.UNKNOWN
    assert words.relations(found, names)[found.pedigree.index["S"]] == "possible sire"
    assert related(rows, "S")["Y"] == "possibly young (20\u00a0%)"


def test_graph__without_a_sire_has_the_dam_alone() -> None:
    found, _ = drawn([{"id": "D", "sex": "female"}, {"id": "Y", "sire": "none", "dam": "D"}], "Y")
    assert found.nests[0].is_without_sire
    assert found.nests[0].parents == ((found.pedigree.index["D"], 1.0),)


def test_graph__holds_no_more_boxes_than_there_is_room_for() -> None:
    rows: list[Row] = [{"id": "S", "sex": "male"}]
    for dam in range(120):
        rows.append({"id": f"D{dam}", "sex": "female"})
        rows += [{"id": f"Y{dam}-{n}", "sire": "S", "dam": f"D{dam}", "hatched": "2024"} for n in range(3)]
    found, _ = drawn(rows, "S")
    assert graph.MOST - 3 <= len(found.boxes) <= graph.MOST
    shown = sum(len(one.nodes) for one in found.boxes if one.role is Role.DESCENDANT)
    assert found.left_out == 360 - shown


def test_graph__deep_ancestry_is_cut_from_the_top_and_counted() -> None:
    parents = {f"A{g}-{n}": (f"A{g + 1}-{2 * n}", f"A{g + 1}-{2 * n + 1}") for g in range(8) for n in range(2**g)}
    pedigree = Pedigree.from_parents(dict(parents))
    found = graph_of(pedigree, pedigree.index["A0-0"], up=8)
    assert len(found.boxes) == graph.MOST
    assert found.left_out == 2**9 - 1 - graph.MOST
    assert {pedigree.ids[one.node][:2] for one in found.boxes} >= {f"A{g}" for g in range(7)}


def test_relations__name_the_way_to_each() -> None:
    rows = [*BACKCROSS, {"id": "Y", "sex": "male", "dam": "U", "hatched": "2025"}]
    rows += [{"id": "Z", "sex": "female", "sire": "Y", "hatched": "2027"}]
    said = related(rows, "U", down=2)
    assert said["M"] == "sire and dam's sire"
    assert said["Q"] == "dam's dam"
    assert said["U"] == "the animal in question"
    assert said["Y"] == "son"
    assert said["Z"] == "daughter of Y"


def test_relations__count_further_ways() -> None:
    pairs = {"K": ("A", "B"), "A": ("S", "C"), "B": ("S", "D"), "C": ("S", "E"), "D": ("S", "E")}
    pedigree = Pedigree.from_parents(dict(pairs))
    ways = words.ways_up(graph_of(pedigree, pedigree.index["K"]), pedigree.index["K"])
    # S by A, by B, by A and C, by B and D; the two shortest are spelt.
    assert ways[pedigree.index["S"]] == words.Ways(("sire's sire", "dam's sire"), 4, 2)
    assert ways[pedigree.index["S"]].words == "sire's sire, dam's sire and 2 more ways"


def test_sections__stand_generation_by_generation() -> None:
    found, _ = drawn(
        [*CLUTCH, {"id": "Y", "dam": "U", "sire": "B", "hatched": "2025"}, {"id": "B", "sex": "male"}], "U"
    )
    heads = [section.title for section in words.sections(found)]
    assert heads == ["In question", "Parents", "Grandparents", "Clutch mates", "Other parents of the young", "Young"]


def test_sexes__are_counted_in_words() -> None:
    pedigree = Pedigree.from_parents(
        {"A": (None, None), "B": (None, None), "C": (None, None)}, sexes={"A": Sex.MALE, "B": Sex.FEMALE}
    )
    found = graph_of(pedigree, 0)
    assert words.sexes_in_words(found, [0, 1, 2]) == "1 male, 1 female"
    assert words.sexes_in_full(found, [0, 1, 2]) == "1 male, 1 female, 1 of unknown sex"
    assert words.sexes_in_words(found, [2]) == "sex not known"


def test_repeated__names_those_that_close_a_loop_not_their_ancestors() -> None:
    rows = [{"id": "A", "sex": "male"}, {"id": "B", "sex": "female"}, *BACKCROSS[1:]]
    found, names = drawn([{"id": "M", "sex": "male", "sire": "A", "dam": "B", "hatched": "2015"}, *rows], "U")
    ways = words.ways_up(found, found.pedigree.index["U"])
    assert ways[found.pedigree.index["A"]].count == 2
    assert words.repeated(found, names) == "M stands in it twice: sire and dam's sire."
    assert words.repeated(drawn(BACKCROSS, "T")[0], names) == ""
