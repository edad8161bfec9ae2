"""The page of a clutch, and the deeds on its eggs and its box."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from holdback.answers.season.words import day_words
from holdback.collection.model import EggState
from holdback.season.due_clutches import number_word
from holdback.web.pages.clutch.boxes import places_of_eggs
from holdback.web.pages.clutch.deed import address, attempt, clutch_named, clutch_or_404, shown
from holdback.web.pages.clutch.eggs import WORDS, EggShown, beside, eggs_shown
from holdback.web.pages.clutch.foretold import odds_part
from holdback.web.pages.clutch.forms import AsideForm, EggMassForm, LoggerForm, LookForm, LossForm, WarmthForm
from holdback.web.pages.clutch.page import Said, numbers_context
from holdback.web.pages.keeper import writer
from holdback.web.pages.toasts import add_toast
from holdback.web.pages.wording import counted, listed, quantity
from holdback.web.records import services
from holdback.web.records.clock import today
from holdback.web.records.clutch_rules import eggs_by_mark
from holdback.web.records.models import Clutch, Egg, Place


@require_safe
def clutch(request: HttpRequest, name: str) -> HttpResponse:
    """A clutch, with one egg open where the address names it."""
    one = clutch_named(name)
    return shown(request, one, Said(egg=request.GET.get("egg", ""), is_pipping="pip" in request.GET))


@require_safe
def numbers(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """The lede and the numbers of a clutch, as parts of its page."""
    return render(request, "pages/parts/clutch_numbers.html", numbers_context(clutch_or_404(key)) | {"is_part": True})


@require_safe
def foretold(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Sires, and what was foretold beside what came, as a part of the page of a clutch."""
    one = clutch_or_404(key)
    return render(request, "pages/parts/clutch_foretold.html", {"clutch": one, "odds": odds_part(one)})


@require_POST
def look(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """One look at one egg; then the next egg is open."""
    one = clutch_or_404(key)
    mark = request.POST.get("egg", "")
    form = LookForm(request.POST)
    said = Said("look", mark, forms={"look": form})
    if not form.is_valid():
        return shown(request, one, said)
    state, note = form.cleaned_data["state"], form.cleaned_data["note"]
    _, after = beside(eggs_shown(one), mark)
    to = address(one, egg=after.mark if after else mark, at="egg")

    def write(batch: uuid.UUID) -> object:
        day = form.cleaned_data["date"] or today()
        return services.look_at_eggs(
            one, {mark: (state, note)}, date=day, who=writer(), batch=batch, sure="sure" in request.POST
        )

    text, then = f"Egg {mark}: {WORDS[EggState(state)]}.", after.mark if after else mark
    return attempt(request, one, write, text=text, said=said, to=to, egg=then)


@require_POST
def lose(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """An egg is lost, with why and what was in it."""
    one = clutch_or_404(key)
    mark = request.POST.get("egg", "")
    form = LossForm(request.POST)
    said = Said("loss", mark, forms={"loss": form})
    if not form.is_valid():
        return shown(request, one, said)
    typed = form.cleaned_data
    egg = eggs_by_mark(one).get(mark)

    def write(batch: uuid.UUID) -> object:
        day, sure = typed["lost_on"] or today(), "sure" in request.POST
        if egg is None:
            looks = {mark: (EggState.LOST, typed["cause"])}
            return services.look_at_eggs(one, looks, date=day, who=writer(), batch=batch, sure=sure)
        inside = {"genes": typed["genes"], "defect": typed["defect"]}
        return services.lose_egg(egg, date=day, cause=typed["cause"], who=writer(), batch=batch, sure=sure, **inside)

    return attempt(request, one, write, text=f"Egg {mark}: lost.", said=said, to=address(one, egg=mark, at="egg"))


@require_POST
def weigh(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """The mass of one egg at laying, written or corrected."""
    one = clutch_or_404(key)
    mark = request.POST.get("egg", "")
    form = EggMassForm(request.POST)
    said = Said("mass", mark, forms={"mass": form})
    if not form.is_valid():
        return shown(request, one, said)
    egg = get_object_or_404(Egg, clutch=one, mark=mark)
    mass = form.cleaned_data["mass_g"]
    text = f"Egg {mark}: {quantity(mass, 'g', 1)}." if mass else f"Egg {mark}: not weighed."

    def write(batch: uuid.UUID) -> object:
        return services.change_egg(egg, who=writer(), batch=batch, mass_g=mass)

    return attempt(request, one, write, text=text, said=said, to=address(one, egg=mark, at="egg"))


@require_POST
def candle(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """All eggs that are waited for have veins, or those ticked have pipped.

    Notes
    -----
    An egg that was weak or without veins is left for a look of its own: one tap must not say that it is well.
    """
    one = clutch_or_404(key)
    waiting = [egg for egg in eggs_shown(one) if egg.is_waiting]
    state = EggState.PIPPED if request.POST.get("state") == EggState.PIPPED else EggState.VEINS
    if state is EggState.PIPPED:
        marks = [egg.mark for egg in waiting if egg.mark in request.POST.getlist("mark")]
        left: list[EggShown] = []
    else:
        marks = [egg.mark for egg in waiting if egg.state in {None, EggState.VEINS}]
        left = [egg for egg in waiting if egg.state in {EggState.WEAK, EggState.NO_VEINS}]
    if not marks:
        add_toast(request, "Nothing was written: no egg was ticked." if not left else _left_words(left).strip())
        return redirect(address(one, egg=left[0].mark if left else "", at="egg" if left else "box"))
    day = today()
    text = f"{number_word(len(marks)).capitalize()} {WORDS[state] if state is EggState.PIPPED else 'with veins'}, "
    text += f"{day_words(day, today=day)}.{_left_words(left)}"

    def write(batch: uuid.UUID) -> object:
        looks = dict.fromkeys(marks, (state, ""))
        return services.look_at_eggs(one, looks, date=day, who=writer(), batch=batch, sure="sure" in request.POST)

    to = address(one, egg=left[0].mark if left else "", at="egg" if left else "box")
    return attempt(request, one, write, text=text, said=Said("candle"), to=to)


def _left_words(left: list[EggShown]) -> str:
    if not left:
        return ""
    marks = listed([egg.mark for egg in left])
    many = len(left) > 1
    return (
        f" Egg{'s' if many else ''} {marks} {'were' if many else 'was'} doubtful: look at {'each' if many else 'it'}."
    )


@require_POST
def put(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Put the ticked eggs into a box."""
    one = clutch_or_404(key)
    known = eggs_by_mark(one)
    eggs = [known[mark] for mark in request.POST.getlist("mark") if mark in known]
    where = request.POST.get("place", "")
    name = dict(places_of_eggs()).get(where, "")
    place = get_object_or_404(Place, pk=where) if name else None
    if not eggs:
        add_toast(request, "Nothing was written: no egg was ticked.")
        return redirect(address(one, at="box"))
    text = f"{counted(len(eggs), 'egg')} in {name}." if place else f"{counted(len(eggs), 'egg')} in no box."
    warned: list[str] = []

    def write(batch: uuid.UUID) -> object:
        warned.extend(
            f"{fault.what} {fault.hint}" for fault in services.put_in_box(eggs, place, who=writer(), batch=batch)
        )
        return warned

    response = attempt(request, one, write, text=text, said=Said("box"), to=address(one, at="box"))
    for words in warned:
        add_toast(request, words)
    return response


@require_POST
def close(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Close a clutch whose sum holds, or open it again."""
    one = clutch_or_404(key)
    if one.closed:
        text = f"Clutch {one.tag} is open again."
        return attempt(
            request,
            one,
            lambda batch: services.open_clutch_again(one, who=writer(), batch=batch),
            text=text,
            said=Said("close"),
            to=address(one, at="box"),
        )
    return attempt(
        request,
        one,
        lambda batch: services.close_clutch(one, who=writer(), batch=batch),
        text=f"Clutch {one.tag} is closed: every egg is accounted for.",
        said=Said("close"),
        to=address(one, at="box"),
    )


@require_POST
def set_aside(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """Leave a clutch out of counts, or count it again."""
    one = clutch_or_404(key)
    form = AsideForm(request.POST)
    said = Said("aside", forms={"aside": form})
    if not form.is_valid():
        return shown(request, one, said)
    reason = form.cleaned_data["reason"]
    text = f"Clutch {one.tag} stays out of counts." if reason else f"Clutch {one.tag} counts."
    return attempt(
        request,
        one,
        lambda batch: services.set_clutch_aside(one, reason, who=writer(), batch=batch),
        text=text,
        said=said,
        to=address(one, at="aside"),
    )


@require_POST
def warmth(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """One reading of a box."""
    one = clutch_or_404(key)
    form = WarmthForm(request.POST, places=places_of_eggs())
    said = Said("warmth", forms={"warmth": form})
    if not form.is_valid():
        return shown(request, one, said)
    typed = form.cleaned_data
    place = get_object_or_404(Place, pk=typed["place"])

    def write(batch: uuid.UUID) -> object:
        return services.log_warmth(
            place,
            value=typed["value"],
            unit=typed["unit"] or "C",
            date=typed["date"] or today(),
            time=typed["time"],
            who=writer(),
            batch=batch,
            sure="sure" in request.POST,
        )

    return attempt(
        request, one, write, text=f"{place.name}: the warmth is kept.", said=said, to=address(one, at="warmth")
    )


@require_POST
def logger(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """The table of a logger."""
    one = clutch_or_404(key)
    form = LoggerForm(request.POST, request.FILES, places=places_of_eggs())
    said = Said("logger", forms={"logger": form})
    if not form.is_valid():
        return shown(request, one, said)
    return _table_read(request, one, form, said)


def _table_read(request: HttpRequest, one: Clutch, form: LoggerForm, said: Said) -> HttpResponse:
    """Write the table and say what became of it."""
    place = get_object_or_404(Place, pk=form.cleaned_data["logger_place"])
    text = form.table()
    form.data = {**request.POST.dict(), "text": text}  # a file cannot be shown again: its lines stand in the field

    def write(batch: uuid.UUID) -> str:
        unit, sure = form.cleaned_data["logger_unit"], "sure" in request.POST
        found = services.log_warmth_table(place, text, unit=unit, who=writer(), batch=batch, sure=sure)
        parts = [
            f"{counted(found.made, 'reading')} in °{found.unit} written",
            *([f"{found.known} were on record"] if found.known else []),
            *([f"{counted(len(found.unread), 'line')} left out: {found.unread[0].what}"] if found.unread else []),
        ]
        return f"{place.name}: {'; '.join(parts).removesuffix('.')}."

    return attempt(request, one, write, text=str, said=said, to=address(one, at="warmth"))
