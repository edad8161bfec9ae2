"""Random records that hold together, for property tests of every room.

Animal number i hatched in year 1950 + i at the earliest, so that parents drawn from lower numbers are older.
"""

from __future__ import annotations

from hypothesis import strategies as st

from holdback.collection.housing import Place, path_text
from holdback.collection.model import (
    NO_SIRE,
    Animal,
    Candidate,
    Clutch,
    Egg,
    EggLook,
    EggOutcome,
    EggState,
    Event,
    GeneStatement,
    LineClaim,
    Mating,
    Measurement,
    Origin,
    PartialDate,
    Records,
    Sex,
    StatementKind,
    Temperature,
    Trait,
)
from holdback.collection.origins import PlaceOfOrigin, Precision
from holdback.collection.projects import Accepted, PairingState, PlannedPairing, Project, ProjectState, SizeAim
from holdback.collection.units import units_of

# What a keeper may type, with the signs that spreadsheets and CSV files stumble over.
texts = st.one_of(
    st.sampled_from(["", "=1+1", "'=1+1", "''-x", "-3", "@home", "+49", 'say "so"', "a,b;c", "two\nlines", "\ufeffx"]),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=20),
).map(str.strip)
filled = texts.filter(bool)
ids = st.one_of(
    st.from_regex(r"[0-9]{2}-[0-9]{2}[a-z]?", fullmatch=True),
    st.sampled_from(["=A1", "'=A1", "Ä 1", '"q"', "a,b", "@1", "-", "1:".replace(":", ".")]),
)

place_names = st.sampled_from(["room 1", "rack B", "hens / cocks", "/", "// x /", "a,b", "=1+1", "-3"]) | filled
paths = st.lists(place_names, min_size=1, max_size=3).map(path_text)


@st.composite
def dates(draw: st.DrawFn, *, first: int = 1901, last: int = 2199) -> PartialDate:
    """Partial date of any precision."""
    year, month = draw(st.integers(first, last)), draw(st.integers(0, 12))
    return PartialDate(year, month, draw(st.integers(0, 28)) if month else 0)


@st.composite
def candidates(draw: st.DrawFn, males: list[str]) -> tuple[Candidate, ...]:
    """Candidate sires whose weights sum to at most 1."""
    names = draw(st.lists(st.sampled_from([*males, NO_SIRE]), max_size=3, unique=True))
    if len(names) == 1 and draw(st.booleans()):
        return (Candidate(names[0]),)
    return tuple(Candidate(name, draw(st.floats(1e-6, 1 / len(names)))) for name in names)


@st.composite
def records(draw: st.DrawFn, *, max_animals: int = 8) -> Records:
    """Records of a small collection without a fault."""
    names = draw(st.lists(ids, min_size=1, max_size=max_animals, unique=True))
    sexes = {name: draw(st.sampled_from(Sex)) for name in names}
    males = [name for name in names if sexes[name] is not Sex.FEMALE]
    females = [name for name in names if sexes[name] is not Sex.MALE]
    animals = []
    for number, name in enumerate(names):
        older = set(names[:number])
        sires = draw(candidates([male for male in males if male in older]))
        dams = [female for female in females if female in older and female not in {one.animal for one in sires}]
        animals.append(
            Animal(
                name,
                name=draw(texts),
                sex=sexes[name],
                hatched=draw(st.none() | dates(first=1950 + number, last=1950 + number)),
                origin=draw(st.sampled_from(Origin)),
                sires=sires,
                dam=draw(st.none() | st.sampled_from(dams)) if dams else None,
                genes=draw(texts),
                status=draw(texts),
                notes=draw(texts),
            )
        )
    clutches, eggs = draw(_clutches(males, females))
    some = st.sampled_from(names)
    later = dates(first=2000, last=2150)
    lines = draw(st.lists(st.tuples(some, filled), max_size=3, unique=True))
    matings = st.builds(
        Mating,
        dam=st.sampled_from(females or names),
        sire=st.sampled_from(males or names),
        together=dates(last=2000),
        apart=st.none() | dates(first=2001),
        locks=st.integers(0, 9),
    )
    events = st.builds(
        Event,
        animal=some,
        date=later,
        kind=filled,
        value=st.none() | st.floats(allow_nan=False, allow_infinity=False),
        unit=texts,
        note=texts,
        until=st.none() | dates(first=2151),
    )
    projects = tuple(draw(st.lists(_projects(some), max_size=2, unique_by=lambda one: one.id)))
    return Records(
        animals=tuple(draw(st.permutations(animals))),
        lines=tuple(LineClaim(animal, line, *draw(_shares()), draw(texts)) for animal, line in lines),
        measurements=tuple(draw(st.lists(_measurements(some, later), max_size=4))),
        matings=tuple(draw(st.lists(matings, max_size=3)) if males and females else ()),
        clutches=clutches,
        eggs=eggs,
        events=tuple(draw(st.lists(events, max_size=4))),
        statements=tuple(draw(st.lists(_statements(some), max_size=3))),
        origins=tuple(draw(_origins(one)) for one in draw(st.lists(some, max_size=3, unique=True))),
        egg_looks=draw(_egg_looks(eggs)),
        temperatures=tuple(draw(st.lists(_temperatures(), max_size=3))),
        places=tuple(draw(st.lists(_places(), max_size=3, unique_by=lambda one: one.path))),
        projects=projects,
        planned_pairings=draw(_planned(names, projects)),
        accepted=draw(_accepted(projects)),
    )


@st.composite
def _shares(draw: st.DrawFn) -> tuple[float, float]:
    """Bounds of a share, the lower one first."""
    low, high = sorted((draw(st.floats(0, 1)), draw(st.floats(0, 1))))
    return low, high


@st.composite
def _statements(draw: st.DrawFn, animals: st.SearchStrategy[str]) -> GeneStatement:
    """Statement on a gene whose three chances sum to 1."""
    low, high = draw(_shares())
    chances = draw(st.permutations([low, high - low, 1 - high]))
    kind, date = draw(st.sampled_from(StatementKind)), draw(st.none() | dates(first=2000))
    named, by, ground = draw(filled), draw(texts), draw(texts)
    return GeneStatement(draw(animals), named, kind, *chances, by, ground, date, draw(st.floats(0, 1)))


@st.composite
def _origins(draw: st.DrawFn, animal: str) -> PlaceOfOrigin:
    """Place of origin of an animal, with coordinates or without."""
    place, country, ground = draw(filled), draw(st.sampled_from(["", "GH", "TG"])), draw(texts)
    if draw(st.booleans()):
        return PlaceOfOrigin(animal, place, country, ground=ground)
    degrees = draw(st.floats(-90, 90)), draw(st.floats(-180, 180))
    return PlaceOfOrigin(animal, place, country, *degrees, draw(st.sampled_from(Precision)), ground)


@st.composite
def _measurements(
    draw: st.DrawFn, animals: st.SearchStrategy[str], later: st.SearchStrategy[PartialDate]
) -> Measurement:
    """Measurement in a unit that fits the trait."""
    trait = draw(st.sampled_from(Trait))
    value = draw(st.floats(1e-6, 1e9))
    return Measurement(
        draw(animals), draw(later), trait, value, draw(st.sampled_from(list(units_of(trait)))), draw(texts)
    )


@st.composite
def _clutches(draw: st.DrawFn, males: list[str], females: list[str]) -> tuple[tuple[Clutch, ...], tuple[Egg, ...]]:
    """Clutches with some of their eggs."""
    clutches: list[Clutch] = []
    eggs: list[Egg] = []
    for name in draw(st.lists(ids, max_size=3, unique=True)):
        outcomes = draw(st.lists(st.sampled_from(EggOutcome), max_size=4))
        slugs = outcomes.count(EggOutcome.SLUG)
        sires = draw(candidates(males))
        fit = [female for female in females if female not in {one.animal for one in sires}]
        clutches.append(
            Clutch(
                name,
                dam=draw(st.none() | st.sampled_from(fit)) if fit else None,
                sires=sires,
                laid=draw(st.none() | dates(first=2000, last=2100)),
                eggs=draw(st.none() | st.just(len(outcomes))),
                slugs=draw(st.none() | st.just(slugs)),
                hatched=draw(st.none() | dates(first=2101)),
            )
        )
        eggs.extend(
            Egg(
                name,
                str(number),
                draw(st.none() | st.floats(1, 200)),
                outcome,
                box=draw(st.just("") | paths),
                ended=draw(st.none() | dates(first=2102, last=2103)),
                cause=draw(texts),
            )
            for number, outcome in enumerate(outcomes, start=1)
        )
    return tuple(clutches), tuple(eggs)


@st.composite
def _egg_looks(draw: st.DrawFn, eggs: tuple[Egg, ...]) -> tuple[EggLook, ...]:
    """Looks at some of the eggs, after they were laid and before they ended."""
    states = st.sampled_from([state for state in EggState if state not in (EggState.OUT, EggState.LOST)])
    looked = draw(st.lists(st.sampled_from(eggs), max_size=4)) if eggs else []
    return tuple(
        EggLook(egg.clutch, egg.egg, draw(dates(first=2101, last=2101)), draw(states), draw(texts)) for egg in looked
    )


@st.composite
def _temperatures(draw: st.DrawFn) -> Temperature:
    """Reading of the warmth of a place, with a time or without."""
    day = draw(dates())
    time = draw(st.just("") | st.times().map(lambda time: f"{time:%H:%M}"))
    celsius = draw(st.floats(-20, 60, exclude_min=True, exclude_max=True))
    return Temperature(draw(paths), PartialDate(day.year, day.month or 1, day.day or 1), celsius, time, draw(texts))


@st.composite
def _places(draw: st.DrawFn) -> Place:
    """Place with room for eggs or without."""
    closed = draw(st.none() | dates())
    return Place(draw(paths), draw(texts), draw(st.none() | st.integers(0, 99)), draw(texts), closed)


entries = filled.filter(lambda text: "|" not in text and "\n" not in text)


@st.composite
def _projects(draw: st.DrawFn, animals: st.SearchStrategy[str]) -> Project:
    """Project with a wish for size or without."""
    size = draw(st.sampled_from(SizeAim))
    low, high = sorted((draw(st.floats(1, 9000)), draw(st.floats(1, 9000))))
    some_of = tuple(draw(st.lists(entries, max_size=3, unique=True)))
    some = st.lists(animals, max_size=3, unique=True).map(tuple)
    return Project(
        draw(ids),
        draw(filled),
        want=draw(texts),
        some_of=some_of,
        some_least=draw(st.integers(0, len(some_of))),
        none_of=draw(texts),
        line=draw(texts),
        share_at_least=draw(st.floats(0, 1)),
        size=size,
        size_low_g=low if size is SizeAim.BAND else None,
        size_high_g=draw(st.none() | st.just(high)) if size is SizeAim.BAND else None,
        number=draw(st.integers(1, 9)),
        by=draw(st.none() | st.integers(1900, 2199)),
        inbreeding_at_most=draw(st.floats(0, 1)),
        eggs=draw(st.none() | st.integers(0, 99)),
        tubs=draw(st.none() | st.integers(0, 99)),
        money=draw(st.none() | st.floats(0, 1e6)),
        worth_eggs=draw(st.floats(0, 1e3)),
        year_worth_eggs=draw(st.floats(0, 1e3)),
        animals=draw(some),
        held_back=draw(some),
        least_pairings=draw(st.integers(0, 9)),
        since=draw(st.none() | dates()),
        state=draw(st.sampled_from(ProjectState)),
        notes=draw(texts),
    )


@st.composite
def _planned(draw: st.DrawFn, animals: list[str], projects: tuple[Project, ...]) -> tuple[PlannedPairing, ...]:
    """Planned pairings of two animals each, with a project or without."""
    if len(animals) < 2:
        return ()
    pairing = st.builds(
        lambda year, two, project, state, note: PlannedPairing(year, two[0], two[1], project, state, note),
        st.integers(1900, 2199),
        st.lists(st.sampled_from(animals), min_size=2, max_size=2, unique=True),
        st.none() | st.sampled_from([one.id for one in projects]) if projects else st.none(),
        st.sampled_from(PairingState),
        texts,
    )
    return tuple(draw(st.lists(pairing, max_size=3, unique_by=lambda one: (one.year, one.dam, one.sire))))


@st.composite
def _accepted(draw: st.DrawFn, projects: tuple[Project, ...]) -> tuple[Accepted, ...]:
    """Cautions spoken for."""
    if not projects:
        return ()
    spoken = st.builds(
        Accepted, st.sampled_from([one.id for one in projects]), filled, texts, st.none() | dates(), texts
    )
    return tuple(draw(st.lists(spoken, max_size=3, unique_by=lambda one: (one.project, one.code))))
