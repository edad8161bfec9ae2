"""Every deed of the log: its words, its form, whom it is of, and how it is written."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, TypeAlias

from holdback.collection import event_kinds as kinds
from holdback.collection.model import Sex
from holdback.errors import Fault, RecordError
from holdback.web.pages.log import forms
from holdback.web.pages.log.fields import LogForm
from holdback.web.pages.log.who import animal_meant
from holdback.web.pages.questions import PARTED, How
from holdback.web.records import services
from holdback.web.records.models import Animal, Mating, Place
from holdback.web.records.services import deed
from holdback.web.records.together import open_on

Said: TypeAlias = Mapping[str, Any]
Write: TypeAlias = Callable[[Animal, Said, How], str]
"""Writes a deed and says in a sentence what was written."""


def _event(kind: str, words: str) -> Write:
    """An event with what its form tells: value, note, last day."""

    def write(animal: Animal, said: Said, how: How) -> str:
        until = said.get("until")
        services.log_event(
            animal,
            who=how.who,
            kind=kind,
            on=said["on"],
            value=said.get("value"),
            note=said.get("note", ""),
            until=until.isoformat() if until else "",
            sure=how.sure,
            batch=how.batch,
        )
        return f"{animal}: {words}."

    return write


def _fed(animal: Animal, said: Said, how: How) -> str:
    outcome, note = said["taken"], said["note"]
    if outcome == forms.CAME_UP:
        note = "; ".join(part for part in ("came up again", note) if part)
    services.log_meal(
        animal,
        who=how.who,
        taken={forms.TAKEN: True, forms.OFFERED: None}.get(outcome, False),
        on=said["on"],
        prey_g=said["value"],
        note=note,
        sure=how.sure,
        batch=how.batch,
    )
    words = {forms.CAME_UP: "the meal came up again", forms.OFFERED: "a meal is in the tub"}
    return f"{animal}: {words.get(outcome, f'meal {outcome}')}."


def _weighed(animal: Animal, said: Said, how: How) -> str:
    made = services.weigh(
        animal,
        who=how.who,
        typed=said["typed"],
        unit=said["unit"],
        on=said["on"],
        condition=said["condition"],
        sure=how.sure,
        batch=how.batch,
    )
    state = f", {made.condition}" if made.condition else ""
    return f"{animal}: {made.value:,g} {made.unit}{state}."


def _measured(animal: Animal, said: Said, how: How) -> str:
    made = services.add_measurement(
        animal,
        who=how.who,
        trait=said["trait"],
        typed=said["typed"],
        value=said["value"],
        unit=said["unit"],
        date=said["on"].isoformat(),
        batch=how.batch,
    )
    return f"{animal}: {made.trait} {made.value:,g} {made.unit}."


def _shed(animal: Animal, said: Said, how: How) -> str:
    pieces = "came off in pieces" if said["whole"] == "pieces" else ""
    note = "; ".join(part for part in (pieces, said["note"]) if part)
    return _event(kinds.SHED, "shed")(animal, {**said, "note": note}, how)


def _ultrasound(animal: Animal, said: Said, how: How) -> str:
    count = said["count"]
    told = "" if count is None else f"{count} follicle{'' if count == 1 else 's'}"
    note = "; ".join(part for part in (told, said["note"]) if part)
    return _event(kinds.ULTRASOUND, f"ultrasound, {said['value']:g} mm")(animal, {**said, "note": note}, how)


def _couple(animal: Animal, other: Animal) -> tuple[Animal, Animal]:
    """The two as dam and sire; an animal of unknown sex stands where the other does not."""
    is_dam = other.sex == Sex.MALE.value if animal.sex == Sex.UNKNOWN.value else animal.sex == Sex.FEMALE.value
    return (animal, other) if is_dam else (other, animal)


def _together(animal: Animal, said: Said, how: How) -> str:
    dam, sire = _couple(animal, animal_meant(said["other"], field="other"))
    return put_together(dam, sire, said["on"], how)


def put_together(dam: Animal, sire: Animal, on: Any, how: How) -> str:
    """Put two together; where the keeper says so, the male leaves the others on that day."""
    with deed("put together", who=how.who, batch=how.batch) as done:
        if PARTED in how.answers:
            for one in open_on(on, sire=sire):
                if not one.apart and one.dam_id != dam.pk:
                    services.part(one, who=how.who, on=on, sure=how.sure, batch=done.batch)
        services.put_together(who=how.who, dam=dam, sire=sire, on=on, sure=how.sure, batch=done.batch)
    return f"{sire} is with {dam}."


def _lock(animal: Animal, said: Said, how: How) -> str:
    if said["other"]:
        dam, sire = _couple(animal, animal_meant(said["other"], field="other"))
        return log_lock(dam, sire, said["on"], how)
    if animal.sex != Sex.MALE.value:
        return log_lock(animal, None, said["on"], how)
    dams = {one.dam_id: one.dam for one in open_on(said["on"], sire=animal)}
    if len(dams) != 1:
        told = " and ".join(sorted(dam.tag for dam in dams.values()))
        what = f"{animal.tag} was with {told}." if dams else f"nobody is recorded with {animal.tag} on {said['on']}."
        raise RecordError(Fault("SEA-055", what, "Which female was it? Name her.", field="other", animal=animal.tag))
    return log_lock(next(iter(dams.values())), animal, said["on"], how)


def log_lock(dam: Animal, sire: Animal | None, on: Any, how: How, *, mating: Mating | None = None) -> str:
    """Write down a lock and say which it is."""
    made = services.log_lock(
        who=how.who,
        dam=dam,
        sire=sire,
        on=on,
        mating=mating,
        again="again" in how.answers,
        sure=how.sure,
        batch=how.batch,
    )
    return made.said


def _apart(animal: Animal, said: Said, how: How) -> str:
    mating = Mating.objects.select_related("dam", "sire").get(pk=said["mating"])
    services.part(mating, who=how.who, on=said["on"], sure=how.sure, batch=how.batch)
    return f"{mating.sire} and {mating.dam} are apart."


def _died(animal: Animal, said: Said, how: How) -> str:
    services.died(
        animal,
        who=how.who,
        on=said["on"],
        cause=said["note"],
        opened={"yes": True, "no": False}.get(said["opened"]),
        sure=how.sure,
        batch=how.batch,
    )
    return f"{animal}: its death is written."


def _sold(animal: Animal, said: Said, how: How) -> str:
    services.sold(
        animal,
        who=how.who,
        on=said["on"],
        to=said["to"],
        price_text=said["price"],
        sure=how.sure,
        batch=how.batch,
    )
    return f"{animal}: sold."


def _moved(animal: Animal, said: Said, how: How) -> str:
    place = Place.objects.get(pk=uuid.UUID(said["place"])) if said["place"] else None
    services.move_animal(animal, who=how.who, place=place, on=said["on"], batch=how.batch)
    return f"{animal} is in {place}." if place else f"{animal} is out of its tub."


@dataclass(frozen=True, slots=True)
class Deed:
    """One deed of the log.

    Parameters
    ----------
    key : str
        As the address names it.
    words : str
        On its button.
    form : type of LogForm
        Its short form.
    write : callable
        How it is written.
    kind : str
        Kind of event that it writes; empty for none.
    of : str
        Sex of the animals it is of; empty for both.
    """

    key: str
    words: str
    form: type[LogForm]
    write: Write
    kind: str = ""
    of: str = ""


def _plain(key: str, words: str, form: type[LogForm], kind: str, said: str, *, of: str = "") -> Deed:
    return Deed(key, words, form, _event(kind, said), kind, of)


FEMALE = Sex.FEMALE.value
GROUPS: tuple[tuple[str, tuple[Deed, ...]], ...] = (
    (
        "Day by day",
        (
            Deed("fed", "Fed", forms.MealForm, _fed, kinds.MEAL),
            Deed("weighed", "Weighed", forms.WeightForm, _weighed),
            Deed("shed", "Shed", forms.ShedForm, _shed, kinds.SHED),
            Deed("moved", "Moved to…", forms.MoveForm, _moved),
            Deed("measured", "Measured", forms.LengthForm, _measured),
        ),
    ),
    (
        "Breeding",
        (
            Deed("together", "Together with…", forms.OtherForm, _together),
            Deed("lock", "Lock", forms.LockForm, _lock, kinds.LOCK),
            Deed("apart", "Apart", forms.ApartForm, _apart),
            Deed("ultrasound", "Ultrasound", forms.UltrasoundForm, _ultrasound, kinds.ULTRASOUND, FEMALE),
            _plain("ovulation", "Ovulation", forms.NoteForm, kinds.OVULATION, "ovulation", of=FEMALE),
            _plain("pre-lay-shed", "Shed before laying", forms.NoteForm, kinds.PRELAY_SHED, "she shed", of=FEMALE),
            _plain("nest-box", "Nest box in", forms.NoteForm, kinds.NEST_BOX, "the nest box is in", of=FEMALE),
            _plain("rests", "Rests this season", forms.LastingForm, kinds.RESTS, "rests", of=FEMALE),
        ),
    ),
    (
        "Health",
        (
            _plain("sign", "A sign of illness", forms.TellForm, kinds.SIGN, "the sign is written"),
            _plain("vet", "Seen by a vet", forms.TellForm, kinds.VET, "seen by a vet"),
            _plain("treatment", "Treatment", forms.TreatmentForm, kinds.TREATMENT, "the treatment is written"),
            _plain("swab", "Swab", forms.TellForm, kinds.SWAB, "the swab is written"),
            _plain("quarantine", "Quarantine", forms.LastingForm, kinds.QUARANTINE, "in quarantine"),
            _plain("defect", "A defect", forms.TellForm, kinds.DEFECT, "the defect is written"),
            Deed("died", "Died", forms.DeathForm, _died, kinds.DIED),
        ),
    ),
    (
        "Whose it is",
        (
            _plain("ready", "Ready to sell", forms.NoteForm, kinds.READY, "ready to sell"),
            Deed("sold", "Sold", forms.SaleForm, _sold, kinds.SOLD),
            _plain("lent", "Lent to…", forms.LoanForm, kinds.LENT, "lent"),
            _plain("borrowed", "Borrowed of…", forms.LoanForm, kinds.BORROWED, "borrowed"),
            _plain("returned", "Back from a loan", forms.NoteForm, kinds.RETURNED, "back"),
            _plain("co-owned", "Co-owned with…", forms.ShareForm, kinds.CO_OWNED, "the share is written"),
        ),
    ),
)  # fmt: skip
"""All deeds, by what they are about."""

DEEDS: Mapping[str, Deed] = MappingProxyType({one.key: one for _, group in GROUPS for one in group})
"""Every deed by its key."""


def deeds_of(animal: Animal) -> list[tuple[str, list[Deed]]]:
    """Deeds that fit an animal by its sex, by what they are about."""
    fits = {"", animal.sex} if animal.sex != Sex.UNKNOWN.value else {"", FEMALE}
    return [(head, [one for one in group if one.of in fits]) for head, group in GROUPS]
