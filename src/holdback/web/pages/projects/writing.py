"""Start a project and change its goal; close it and open it again; say what a caution is answered with."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import NoReverseMatch, reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from holdback.collection.model import PartialDate
from holdback.errors import Fault, RecordError
from holdback.web.pages.clutch.deed import done
from holdback.web.pages.keeper import writer
from holdback.web.pages.projects.forms import ProjectForm, as_typed
from holdback.web.pages.projects.weighing import eggs_of_a_clutch, worth_in_words, year_in_words
from holdback.web.pages.views.undo import came_from
from holdback.web.pages.wording import day
from holdback.web.records import services
from holdback.web.records.models import Decision, LineClaim, Project
from holdback.web.records.overlay import catalogue
from holdback.web.records.services import GoalChange


@require_http_methods(["GET", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Start a project."""
    form = ProjectForm(request.POST or None, initial=as_typed(Project()))
    faults: tuple[Fault, ...] = ()
    if request.method == "POST" and form.is_valid():
        batch = uuid.uuid4()
        try:
            project = services.start_project(who=writer(), batch=batch, **form.fields_of_goal())
        except RecordError as error:
            faults = form.take(error)
        else:
            done(request, f"{project.name} is begun.", batch)
            return redirect(address(project))
    return _page(request, form, faults)


@require_http_methods(["GET", "POST"])
def change(request: HttpRequest, key: str) -> HttpResponse:
    """Change a goal; ``look`` only shows what would change."""
    project = get_object_or_404(Project, key=key)
    form = ProjectForm(request.POST or None, initial=as_typed(project))
    faults: tuple[Fault, ...] = ()
    changes: tuple[GoalChange, ...] = ()
    if request.method == "POST" and form.is_valid():
        batch = uuid.uuid4()
        try:
            fields = form.fields_of_goal()
            if "look" in request.POST:
                changes = services.goal_changes(project, **fields)
                return _page(request, form, (), project=project, changes=changes, was_asked=True)
            changes = services.change_goal(project, who=writer(), batch=batch, **fields)
        except RecordError as error:
            faults = form.take(error)
            project.refresh_from_db()
        else:
            done(request, f"{project.name} is changed." if changes else "Nothing was changed.", batch)
            return redirect(address(project))
    return _page(request, form, faults, project=project)


@require_safe
def weighed(request: HttpRequest) -> HttpResponse:
    """What the weights come to as they are moved."""
    return render(request, "pages/parts/project_weights.html", {"weights": _weights(request.GET)})


@require_POST
def reach(request: HttpRequest, key: str) -> HttpResponse:
    """The goal is reached."""
    return _done(request, key, "is reached", lambda one, how: services.reach_project(one, **how))


@require_POST
def give_up(request: HttpRequest, key: str) -> HttpResponse:
    """The project is given up."""
    why = request.POST.get("why", "")
    return _done(request, key, "is given up", lambda one, how: services.give_up_project(one, why=why, **how))


@require_POST
def open_again(request: HttpRequest, key: str) -> HttpResponse:
    """The project is open again."""
    return _done(request, key, "is open again", lambda one, how: services.open_project_again(one, **how))


@require_POST
def reorder(request: HttpRequest) -> HttpResponse:
    """Open projects in the order of the keys that are sent."""
    batch = uuid.uuid4()
    try:
        services.reorder_projects(request.POST.getlist("keys"), who=writer(), batch=batch)
    except RecordError as error:
        context = {"room": "Projects", "faults": error.faults, "back": came_from(request)}
        return render(request, "pages/refused.html", context, status=422)
    done(request, "Your projects are in their new order.", batch)
    return redirect(came_from(request))


@require_POST
def speak(request: HttpRequest, key: str) -> HttpResponse:
    """What the keeper says to a caution is kept, and pairings that bring it may be planned for this project."""
    code, words = request.POST.get("code", ""), request.POST.get("words", "")
    by = request.POST.get("by", "")
    return _done(
        request,
        key,
        "has your word",
        lambda one, how: services.accept_caution(one, code, words=words, by=by.strip(), **how),
    )


@require_POST
def withdraw(request: HttpRequest, key: uuid.UUID) -> HttpResponse:
    """What was said to a caution is taken back."""
    decision = get_object_or_404(Decision.objects.select_related("project"), pk=key)
    batch = uuid.uuid4()
    services.withdraw_caution(decision, who=writer(), batch=batch)
    done(request, "Your word is taken back.", batch)
    return redirect(address(decision.project))


def address(project: Project) -> str:
    """Address of the page of a project; of its form where there is no such page."""
    try:
        return reverse("pages:project", args=[project.key])
    except NoReverseMatch:
        return reverse("pages:change-project", args=[project.key])


def _done(
    request: HttpRequest, key: str, what: str, write: Callable[[Project, dict[str, Any]], object]
) -> HttpResponse:
    """Do a deed on a project, and go back to it; what is wrong with it is said above its form."""
    project = get_object_or_404(Project, key=key)
    batch = uuid.uuid4()
    try:
        write(project, {"who": writer(), "batch": batch})
    except RecordError as error:
        project.refresh_from_db()
        form = ProjectForm(initial=as_typed(project))
        return _page(request, form, error.faults, project=project, status=422)
    done(request, f"{project.name} {what}.", batch)
    return redirect(address(project))


def _weights(given: Any) -> dict[str, str]:
    """Sentences of both weights by the values of a form."""
    eggs = eggs_of_a_clutch(catalogue())
    start = Project()
    worth = _read(given.get("worth_eggs"), start.worth_eggs)
    year = _read(given.get("year_worth_eggs"), start.year_worth_eggs)
    return {"worth": worth_in_words(worth, eggs), "year": year_in_words(year, eggs)}


def _read(value: Any, otherwise: float) -> float:
    """Number as a form gives it; what stands for it where it is none."""
    try:
        found = float(value)
    except (TypeError, ValueError):
        return otherwise
    return found if 0 <= found <= 1e6 else otherwise


def _page(
    request: HttpRequest,
    form: ProjectForm,
    faults: tuple[Fault, ...],
    *,
    project: Project | None = None,
    changes: tuple[GoalChange, ...] = (),
    was_asked: bool = False,
    status: int | None = None,
) -> HttpResponse:
    context = {
        "room": "Projects",
        "form": form,
        "faults": faults,
        "project": project,
        "since": day(PartialDate.parse(project.since)) if project and project.since else "",
        "back": address(project) if project else reverse("pages:desk"),
        "changes": changes,
        "was_asked": was_asked,
        "weights": _weights({one: form[one].value() for one in ("worth_eggs", "year_worth_eggs")}),
        "spoken": project.decisions.all() if project else (),
        "lines": LineClaim.objects.order_by("line").values_list("line", flat=True).distinct(),
    }
    usual = 422 if request.method == "POST" and not was_asked else 200
    return render(request, "pages/project_form.html", context, status=status or usual)
