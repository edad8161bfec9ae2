"""The drawing itself: sound svg, nothing on anything else, the same with and without a page."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from holdback.collection.estimate import Basis
from holdback.collection.model import Sex
from holdback.descent.pedigree import Pedigree
from holdback.web.pages.pedigree import layout
from holdback.web.pages.pedigree.graph import Graph, graph_of
from holdback.web.pages.pedigree.layout import Link, Size, laid_out
from holdback.web.pages.pedigree.shading import Shade, Shading, copies_in_words, shade_of
from holdback.web.pages.pedigree.svg import Caption, Drawing, drawing

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def backcross() -> Graph:
    """Umber out of Thistle by Mortar, who is Thistle's sire too."""
    pairs = {"Thistle": ("Mortar", "Quill"), "Umber": ("Mortar", "Thistle")}
    pedigree = Pedigree.from_parents(dict(pairs), sexes={"Umber": Sex.FEMALE})
    return graph_of(pedigree, pedigree.index["Umber"])


def of(graph: Graph, shades: dict[str, Shade] | None = None, **asked: tuple[str, ...] | frozenset[int]) -> Drawing:
    """Drawing with the ids as names."""
    names = graph.pedigree.ids
    captions = {box.node: Caption(names[box.node], "", names[box.node], f"/{names[box.node]}") for box in graph.boxes}
    filled = {graph.pedigree.index[name]: shade for name, shade in (shades or {}).items()}
    return drawing(graph, captions, filled, said="A pedigree.", **asked)  # type: ignore[arg-type]  # options by name


def marks(found: Drawing, name: str, kind: str = "") -> list[ElementTree.Element]:
    """Marks with a class in a drawing."""
    every = ElementTree.fromstring(found.svg).iter(f"{SVG}{name}")
    return [one for one in every if not kind or kind in one.get("class", "").split()]


def test_drawing__is_sound_and_has_no_style(backcross: Graph) -> None:
    found = of(backcross)
    root = ElementTree.fromstring(found.svg)
    assert root.get("viewBox") == f"0 0 {found.width} {found.height}"
    assert all("style" not in one.attrib for one in root.iter())
    assert not list(root.iter(f"{SVG}style"))


def test_drawing__links_every_animal_once(backcross: Graph) -> None:
    links = [one.get("href") for one in marks(of(backcross), "a")]
    assert sorted(map(str, links)) == ["/Mortar", "/Quill", "/Thistle", "/Umber"]


def test_drawing__shapes_stand_for_the_sexes(backcross: Graph) -> None:
    assert len(marks(of(backcross), "rect", "node")) == 1
    assert len(marks(of(backcross), "circle", "node")) == 3
    assert len(marks(of(backcross), "circle", "me")) == 1


def test_drawing__escapes_names() -> None:
    pedigree = Pedigree.from_parents({'<b>"&': (None, None)})
    found = of(graph_of(pedigree, 0))
    assert [one.text for one in marks(found, "text")] == ['<b>"&']


def test_drawing__fills_from_below_by_share(backcross: Graph) -> None:
    full, half = (of(backcross, {"Mortar": Shade(share, "x")}) for share in (1.0, 0.5))
    heights = [float(marks(one, "rect", "part")[0].get("height", "")) for one in (full, half)]
    assert heights[1] == pytest.approx(heights[0] / 2, abs=0.1)
    feet = [
        float(part.get("y", "")) + float(part.get("height", ""))
        for part in (marks(one, "rect", "part")[0] for one in (full, half))
    ]
    assert feet[0] == pytest.approx(feet[1], abs=0.11)


def test_drawing__two_copies_are_solid_below_one(backcross: Graph) -> None:
    found = of(backcross, {"Mortar": Shade(0.75, "x", None, 0.25)})
    solid, hatched = marks(found, "rect", "full")[0], marks(found, "rect", "part")[0]
    assert float(hatched.get("height", "")) == pytest.approx(2 * float(solid.get("height", "")), abs=0.2)
    assert float(hatched.get("y", "")) < float(solid.get("y", ""))


@pytest.mark.parametrize(
    "basis, squares, dash",
    [
        (Basis.MEASURED, 1, None),
        (Basis.BY_DESCENT, 1, "5 3"),
        (Basis.CLAIMED, 1, "1.6 2.6"),
        (Basis.BY_OFFSPRING, 2, None),
    ],
)
def test_drawing__outline_says_how_a_number_is_known(
    backcross: Graph, basis: Basis, squares: int, dash: str | None
) -> None:
    found = marks(of(backcross, {"Mortar": Shade(0.5, "x", basis)}), "rect", "node")
    assert len(found) == squares
    assert found[0].get("stroke-dasharray") == dash


def test_drawing__assumed_is_wavy(backcross: Graph) -> None:
    found = of(backcross, {"Mortar": Shade(0.0, "x", Basis.ASSUMED)})
    assert not marks(found, "rect", "node")
    assert len(marks(found, "polygon", "node")) == 1


def test_drawing__common_ancestors_get_a_second_outline(backcross: Graph) -> None:
    assert not marks(of(backcross), "rect", "ring")
    assert len(marks(of(backcross, common=frozenset({backcross.pedigree.index["Mortar"]})), "rect", "ring")) == 1


def test_drawing__alone_has_head_and_foot(backcross: Graph) -> None:
    words = [one.text for one in marks(of(backcross, head=("Head",), foot=("Foot",)), "text")]
    assert (words[0], words[-1]) == ("Head", "Foot")


def test_drawing__doubtful_sires_have_dashed_lines_with_the_chance() -> None:
    from holdback.collection.collection import Collection
    from holdback.descent.family import Family
    from holdback.descent.from_family import pedigree_of

    rows = [{"id": "A", "sex": "male"}, {"id": "B", "sex": "male"}, {"id": "D", "sex": "female"}]
    collection = Collection.from_frames({"animals": [*rows, {"id": "Y", "sire": "A:0.7|B:0.3", "dam": "D"}]})
    pedigree = pedigree_of(collection, Family.from_collection(collection))
    found = of(graph_of(pedigree, pedigree.index["Y"]))
    dashed = [one for one in marks(found, "path", "tie") if one.get("stroke-dasharray")]
    assert len(dashed) == 2
    assert {"70\u00a0%", "30\u00a0%"} <= {str(one.text) for one in marks(found, "text")}


def test_layout__keeps_boxes_apart_and_parents_above() -> None:
    sizes = [Size(name, 80, 90) for name in "abcde"] + [Size("n", 24, 7)]
    links = [Link("a", "n"), Link("b", "n"), *(Link("n", name) for name in "cde")]
    found = laid_out(sizes, links)
    for one in "ab":
        assert all(found.centres[one][1] + 45 < found.centres[young][1] - 45 for young in "cde")
    for first, second in ("ab", "cd", "de", "ce"):
        assert abs(found.centres[first][0] - found.centres[second][0]) >= 80
    for (tail, head), curve in zip([(link.tail, link.head) for link in links], found.curves, strict=True):
        assert curve[0][1] == pytest.approx(found.centres[tail][1] + (3.5 if tail == "n" else 45), abs=0.6)
        assert curve[-1][1] == pytest.approx(found.centres[head][1] - (3.5 if head == "n" else 45), abs=0.6)


def test_layout__lines_of_one_box_begin_side_by_side() -> None:
    sizes = [Size("a", 80, 90), Size("x", 24, 7), Size("y", 24, 7)]
    found = laid_out(sizes, [Link("a", "x"), Link("a", "y")])
    assert abs(found.curves[0][0][0] - found.curves[1][0][0]) >= 6


def test_layout__is_kept_by_content() -> None:
    sizes, links = [Size("a", 41, 43), Size("b", 47, 53)], [Link("a", "b")]
    assert laid_out(sizes, links) is laid_out(list(sizes), list(links))


def test_layout__warms_in_the_background() -> None:
    thread = layout.warm()
    thread.join(timeout=60)
    assert not thread.is_alive()


def test_shade__of_several_is_what_they_share() -> None:
    one, other = Shade(0.5, "1 in 2", Basis.BY_DESCENT), Shade(1.0, "one copy", Basis.BY_DESCENT)
    shading = Shading("gene:x", "Chance of x", {0: one, 1: one, 2: other})
    assert shade_of(shading, [0, 1]) == one
    assert shade_of(shading, [0, 2]) == Shade(0.0, "1 in 2 to one copy", Basis.BY_DESCENT)
    assert shade_of(shading, [7]) is None


def test_copies__in_words() -> None:
    assert copies_in_words((0.0, 0.4, 0.6)) == "carries it"
    assert re.fullmatch(r"about \d in \d", copies_in_words((0.34, 0.66, 0.0)))
