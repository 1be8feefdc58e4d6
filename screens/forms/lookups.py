"""What is in a project, as the forms look it up: things by full id, and options to pick from."""

from __future__ import annotations

from planner.catalogue import techniques_with
from planner.files.phrasing import write_quantity
from planner.model import STAGES, Ensemble, Garment, Occasion, Project, Step, Stock
from planner.model import OccasionKind as Kind
from screens.forms.fields import Option
from screens.wording import clean, hour, short_date


def ensemble_of(project: Project, ident: str) -> Ensemble:
    """An ensemble by its id; an empty one where it has gone."""
    found = (one for one in project.ensembles if one.id == ident)
    return next(found, Ensemble(id=ident))


def garment_of(project: Project, full: str) -> Garment:
    """A garment by its full id; an empty one where it has gone."""
    ensemble, _, ident = full.partition("/")
    found = (one for one in ensemble_of(project, ensemble).garments if one.id == ident)
    return next(found, Garment(id=ident))


def step_of(project: Project, full: str) -> Step | None:
    """A step by its full id."""
    garment, _, ident = full.rpartition("/")
    return next((one for one in garment_of(project, garment).steps if one.id == ident), None)


def occasion_of(project: Project, full: str) -> Occasion | None:
    """An occasion by its full id."""
    ensemble, _, ident = full.partition("/")
    found = (one for one in ensemble_of(project, ensemble).occasions if one.id == ident)
    return next(found, None)


def stock_of(project: Project, full: str) -> Stock | None:
    """A stock by its full id."""
    ensemble, _, ident = full.partition("/")
    return next((one for one in ensemble_of(project, ensemble).stock if one.id == ident), None)


def has_garment(project: Project, full: str) -> bool:
    """Whether there is a garment of a full id."""
    ensemble, _, ident = full.partition("/")
    return any(one.id == ident for one in ensemble_of(project, ensemble).garments)


def step_name(project: Project, step: Step) -> str:
    """Shown name of a step: its own, else its technique's, else its id."""
    technique = techniques_with(project.techniques).get(step.technique or "")
    return clean(step.name) or clean(technique.name if technique else "") or clean(step.id)


def name_of(project: Project, full: str) -> str:
    """Shown name of a step (alone), garment, occasion or stock by its full id; also left off."""
    step = step_of(project, full) if full.count("/") == 2 else None
    if step is not None:
        return step_name(project, step)
    own = full.rsplit("/", 1)[-1]
    if has_garment(project, full):
        return clean(garment_of(project, full).name) or clean(own)
    occasion = occasion_of(project, full)
    if occasion is not None:
        return clean(occasion.name) or clean(own).replace("-", " ")
    stock = stock_of(project, full)
    return clean(stock.name if stock is not None else "") or clean(own)


# options to pick from


def techniques(project: Project) -> list[Option]:
    """All techniques, the maker's own first."""
    shelf = techniques_with(project.techniques)
    own = [one.id for one in project.techniques]
    found = []
    for ident in dict.fromkeys([*own, *shelf]):
        one = shelf[ident]
        unit = one.unit or one.per.value
        found.append(Option(key=ident, name=one.name, told=f"{one.work.value}, by the {unit}"))
    return found


def measurements(garment: Garment, units: str) -> list[Option]:
    """The measurements of a garment."""
    return [
        Option(key=name, name=name, told=str(write_quantity(quantity, units)))
        for name, quantity in garment.measurements.items()
    ]


def stock(ensemble: Ensemble) -> list[Option]:
    """The stock of an ensemble."""
    return [
        Option(key=one.id, name=clean(one.name) or one.id, told=one.id) for one in ensemble.stock
    ]


def occasions(project: Project, ensemble: Ensemble, own: str = "none") -> list[Option]:
    """At which a step can be done: none, its ensemble's occasions, then those of others."""
    found = [Option(key="", name=own)]
    for other in (ensemble, *(one for one in project.ensembles if one.id != ensemble.id)):
        for one in other.occasions:
            key = one.id if other.id == ensemble.id else f"{other.id}/{one.id}"
            if one.kind in (Kind.FITTING, Kind.TRIAL_WEAR) or other.id == ensemble.id:
                found.append(Option(key=key, name=clean(one.name) or one.id, told=_dated(one)))
    return found


def _dated(occasion: Occasion) -> str:
    return f"{short_date(occasion.at.date())} {hour(occasion.kind, occasion.at):5}"


def before_step(project: Project, garment: str, step: str | None) -> list[Option]:
    """What a step can come after: steps of its garment, stages of others, occasions."""
    ensemble = ensemble_of(project, garment.split("/")[0])
    found = own_steps(project, garment, step)
    found += stages(project, ensemble, but=garment.split("/")[1])
    for one in ensemble.occasions:
        found.append(Option(key=one.id, name=clean(one.name) or one.id, told=_dated(one)))
    return found


def own_steps(project: Project, garment: str, step: str | None) -> list[Option]:
    """The steps of a garment, without the one that is asked for."""
    own = (step or "").rsplit("/", 1)[-1]
    steps = garment_of(project, garment).steps
    return [_step_option(project, one) for one in steps if one.id != own]


def _step_option(project: Project, step: Step) -> Option:
    """A step by its name; the id, which is what will stand there, where that is another."""
    name = step_name(project, step)
    return Option(key=step.id, name=name, told=step.id if step.id != name else "")


def stages(project: Project, ensemble: Ensemble, but: str = "") -> list[Option]:
    """The stages of the garments of an ensemble, then of the others."""
    found = []
    for other in (ensemble, *(one for one in project.ensembles if one.id != ensemble.id)):
        before = "" if other.id == ensemble.id else f"{other.id}/"
        for one in other.garments:
            if one.id != but or before:
                name = clean(one.name) or one.id
                found += [
                    Option(
                        key=f"{before}{one.id}:{stage}",
                        name=f"{name}, {stage}",
                        told=clean(other.name) or other.id if before else "",
                    )
                    for stage in STAGES
                ]
    return found
