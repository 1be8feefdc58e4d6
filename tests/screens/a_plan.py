"""A plan made by hand: twelve days, two windows on Saturday, a fitting, over, late, notes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from planner.model import (
    Ensemble,
    Garment,
    Occasion,
    OccasionKind,
    Place,
    Project,
    Step,
    Wait,
    Warned,
    Work,
    Workroom,
)
from planner.plan import (
    Because,
    Day,
    Note,
    NoteKind,
    Plan,
    PlannedOccasion,
    PlannedStep,
    PlannedWindow,
    Reason,
    Sitting,
    SpotHours,
    SpotStep,
    TightSpot,
    Unplaced,
    Verdict,
    Where,
)

E = "ferrywoman"
NOW = datetime(2027, 5, 5)
FITTING, REGATTA = f"{E}/body-fitting", f"{E}/regatta"


def at(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """A moment in May 2027."""
    return datetime(2027, 5, day, hour, minute)


@dataclass
class Sheet:
    """Windows and the sittings laid in them, one after another."""

    windows: list[PlannedWindow] = field(default_factory=list)
    sittings: list[Sitting] = field(default_factory=list)

    def window(self, start: datetime, minutes: int, place: Place, *work: tuple[str, int]) -> None:
        """A window with its sittings from its beginning on."""
        end = start + timedelta(minutes=minutes)
        clock = start
        for step, wanted in work:
            inside = min(wanted, int((end - clock).total_seconds()) // 60)
            self.sittings.append(
                Sitting(
                    date=start.date(),
                    start=clock if inside else None,
                    end=clock + timedelta(minutes=inside) if inside else None,
                    minutes=wanted,
                    over=wanted - inside,
                    where=Where(place.value.replace("-", "_")),
                    step=f"{E}/{step}",
                    window=len(self.windows),
                )
            )
            clock += timedelta(minutes=inside)
        self.windows.append(
            PlannedWindow(
                start=start, end=end, day=start.date(), place=place, helper=False,
                minutes=minutes, planned=sum(wanted for _, wanted in work),
            )
        )  # fmt: skip

    def occasion(self, start: datetime, step: str, minutes: int) -> None:
        """A sitting at an occasion."""
        self.sittings.append(
            Sitting(
                date=start.date(), start=start, end=start + timedelta(minutes=minutes),
                minutes=minutes, over=0, where=Where.OCCASION, step=f"{E}/{step}", window=None,
            )
        )  # fmt: skip


def sheet() -> Sheet:
    """What is done when."""
    made = Sheet()
    room, sofa, way = Place.WORKROOM, Place.SOFA, Place.TAKE_ALONG
    made.window(at(5, 19, 45), 105, room, ("stays/cut", 60), ("stays/channels", 75))
    made.window(at(6, 19, 45), 105, room, ("stays/channels", 65), ("stays/join", 70))
    made.window(at(7, 12, 30), 30, way, ("shift/hem", 30))
    made.window(
        at(8, 10, 15), 165, room,
        ("stays/join", 45), ("stays/press", 30), ("stays/bones", 30), ("bodice/mock-up", 105),
    )  # fmt: skip
    made.occasion(at(8, 14), "stays/try-on", 20)
    made.occasion(at(8, 14, 20), "bodice/fit", 30)
    made.window(at(8, 15, 10), 110, room, ("bodice/correct", 50))
    made.window(at(9, 10, 15), 210, room, ("bodice/correct", 40), ("bodice/cut", 105))
    made.window(at(10, 20, 30), 90, sofa, ("shift/hem", 90))
    made.window(at(11, 19, 45), 105, room, ("bodice/sew", 95))
    made.window(at(12, 20, 30), 90, sofa, ("shift/cuffs", 60))
    made.window(at(13, 19, 45), 105, room, ("bodice/sew", 100))
    made.window(at(15, 10, 15), 165, room, ("bodice/lining", 90), ("shoes/glue", 40))
    made.window(at(15, 14, 0), 180, room, ("bodice/hem", 120))
    made.window(at(16, 20, 30), 90, sofa, ("bodice/hem", 60))
    return made


def _note(kind: NoteKind, **fields: object) -> Note:
    return Note(kind=kind, **fields)  # type: ignore[arg-type]


def _step(
    ident: str, name: str, work: Work, minutes: int, day: tuple[int, int] | None = None,
    **more: object,
) -> PlannedStep:  # fmt: skip
    """A step with the usual in its fields."""
    garment = {"stays": "Stays", "bodice": "Jacket bodice", "shift": "Shift", "shoes": "Shoes"}
    portable = work in (Work.HAND, Work.CHECKS)
    values: dict[str, object] = {
        "id": f"{E}/{ident}", "name": name, "garment": garment[ident.split("/")[0]],
        "work": work, "place": Place.SOFA if portable else Place.WORKROOM, "hands": 1,
        "one_sitting": False, "wait": Wait(), "during": None, "minutes": minutes,
        "low": minutes * 7 // 10, "high": minutes * 3 // 2, "left": minutes, "after": (),
        "released": None, "due": at(21), "due_for": REGATTA, "earliest": NOW,
        "latest": at(20, 21, 30), "to_spare": 90, "to_spare_exact": True,
        "first_day": date(2027, 5, day[0]) if day else None,
        "last_day": date(2027, 5, day[1]) if day else None,
        "reason": Reason(because=Because.OCCASION, names=(REGATTA,), minutes=600),
        "notes": (), "done": False, "wanted": True, "optional": False, "left_off": False,
        "stage": None, "technique": None,
    }  # fmt: skip
    values.update(more)
    return PlannedStep(**values)  # type: ignore[arg-type]


def _stays() -> list[PlannedStep]:
    """The stays: tight up to the fitting."""
    tight = {"due": at(8, 14), "due_for": FITTING, "latest": at(8, 13), "to_spare": 0}
    nothing = _note(NoteKind.NOTHING_TO_SPARE, subject=FITTING)
    joined = Reason(
        because=Because.FOLLOWER, names=(f"{E}/stays/join",),
        chain=(f"{E}/stays/join", f"{E}/stays/press", f"{E}/stays/try-on", FITTING), minutes=375,
    )  # fmt: skip
    return [
        _step(
            "stays/cut", "cut the layers", Work.CUTTING, 60, (5, 5), reason=joined,
            notes=(
                _note(NoteKind.NO_WAY_BACK),
                _note(NoteKind.CAUTION, text="Cut away from your other hand; mind the blade."),
            ), **tight,
        ),
        _step(
            "stays/channels", "boning channels", Work.MACHINE, 140, (5, 6), reason=joined,
            notes=(nothing,), **tight,
        ),
        _step(
            "stays/join", "join panels", Work.MACHINE, 115, (6, 8), notes=(nothing,), **tight
        ),
        _step(
            "stays/press", "press open", Work.PRESSING, 30, (8, 8),
            notes=(nothing, _note(NoteKind.CAUTION, text="Mind the hot iron and its steam.")),
            **tight,
        ),
        _step("stays/bones", "bones in front", Work.HAND, 30, (8, 8), notes=(nothing,), **tight),
        _step(
            "stays/try-on", "lace up", Work.FITTING, 20, (8, 8), during=FITTING, hands=2,
            stage="fittable", reason=Reason(because=Because.AT_OCCASION, names=(FITTING,)),
        ),
    ]  # fmt: skip


def _bodice() -> list[PlannedStep]:
    """The bodice: a mock-up that is fitted, then the good cloth."""
    fitting = Reason(because=Because.AT_OCCASION, names=(FITTING,))
    return [
        _step(
            "bodice/mock-up", "mock-up", Work.MACHINE, 105, (8, 8), due=at(8, 14),
            due_for=FITTING, to_spare=0,
            notes=(_note(NoteKind.NOTHING_TO_SPARE, subject=FITTING),),
        ),
        _step(
            "bodice/fit", "fit over the stays", Work.FITTING, 30, (8, 8), during=FITTING,
            reason=fitting,
        ),
        _step(
            "bodice/correct", "corrections onto the pattern", Work.DRAFTING, 90, (8, 9),
            released=at(8, 15, 10), reason=Reason(because=Because.RELEASE, names=(FITTING,)),
        ),
        _step(
            "bodice/cut", "cut the good cloth", Work.CUTTING, 105, (9, 9),
            notes=(
                _note(NoteKind.NO_WAY_BACK, subject=f"{E}/bodice/correct"),
                _note(NoteKind.CANNOT_BE_BOUGHT_AGAIN, subject=f"{E}/wool"),
            ),
        ),
        _step("bodice/sew", "long seams", Work.MACHINE, 195, (11, 13), to_spare_exact=False),
        _step(
            "bodice/lining", "lining", Work.MACHINE, 90, (15, 15), to_spare=40,
            reason=Reason(because=Because.FULL, names=(f"{E}/bodice/hem",), minutes=310),
        ),
        _step(
            "bodice/hem", "hem by hand", Work.HAND, 180, (15, 16), wait=Wait(nights=1),
            stage="wearable", place=Place.WORKROOM,
        ),
    ]  # fmt: skip


def _rest() -> list[PlannedStep]:
    """The trimming, shift and shoes."""
    return [
        _step(
            "bodice/trim", "braid, two rows", Work.HAND, 240, None, optional=True,
            to_spare=None, earliest=None, latest=None,
            reason=Reason(because=Because.UNPLACED),
            notes=(
                _note(NoteKind.UNPLACED),
                _note(NoteKind.STOCK_RUNS_OUT, subject=f"{E}/braid", text="0.6 m"),
            ),
        ),
        _step("shift/seams", "flat seams", Work.HAND, 120, None, done=True, left=0,
              reason=Reason(because=Because.DONE), to_spare=None),
        _step("shift/hem", "rolled hem", Work.HAND, 120, (7, 10), place=Place.TAKE_ALONG),
        _step("shift/cuffs", "gather the cuffs", Work.HAND, 60, (12, 12)),
        _step(
            "shoes/glue", "glue the buckles", Work.BENCH, 40, (15, 15), wait=Wait(minutes=720),
            notes=(
                _note(NoteKind.CAUTION, text="Open a window; follow the label of the glue."),
            ),
        ),
    ]  # fmt: skip


def _days(made: Sheet) -> tuple[Day, ...]:
    """Twelve days and their sums."""
    notes: Mapping[int, tuple[Note, ...]] = {
        5: (_note(NoteKind.OVER, minutes=30),),
        6: (_note(NoteKind.OVER, minutes=30),),
        8: (_note(NoteKind.OVER, minutes=45), _note(NoteKind.TIGHT)),
        15: (_note(NoteKind.TIGHT),),
    }
    hands = {7: 30, 8: 30, 10: 90, 12: 60, 15: 120, 16: 60}
    days = []
    for number in range(5, 23):
        day = date(2027, 5, number)
        sums = {
            place: (
                sum(w.minutes for w in made.windows if w.day == day and w.place is place),
                sum(w.planned for w in made.windows if w.day == day and w.place is place),
            )
            for place in Place
        }
        loads = [w.load for w in made.windows if w.day == day and w.place is Place.WORKROOM]
        days.append(
            Day(
                date=day,
                workroom_available=sums[Place.WORKROOM][0],
                workroom_planned=sums[Place.WORKROOM][1],
                sofa_available=sums[Place.SOFA][0],
                sofa_planned=sums[Place.SOFA][1],
                take_along_available=sums[Place.TAKE_ALONG][0],
                take_along_planned=sums[Place.TAKE_ALONG][1],
                hand_minutes=hands.get(number, 0),
                peak=max(loads, default=None),
                notes=notes.get(number, ()),
            )
        )
    return tuple(days)


def _occasions() -> tuple[PlannedOccasion, ...]:
    """A fitting that is short, and the event."""
    return (
        PlannedOccasion(
            id=FITTING, name="Body fitting", kind=OccasionKind.FITTING, at=at(8, 14),
            end=at(8, 15, 10), ready_by=at(8, 14), takes=70, fits=False, short=105,
            wants=tuple(
                f"{E}/{step}" for step in (
                    "stays/cut", "stays/channels", "stays/join", "stays/press", "stays/bones",
                    "bodice/mock-up",
                )
            ),
            during=(f"{E}/stays/try-on", f"{E}/bodice/fit"), late=(), past=False, full=1.28,
        ),
        PlannedOccasion(
            id=REGATTA, name="Regatta", kind=OccasionKind.EVENT, at=at(22, 11),
            end=at(23), ready_by=at(21), takes=780, fits=True, short=0,
            wants=tuple(
                f"{E}/{step}" for step in (
                    "stays/cut", "stays/channels", "stays/join", "stays/press", "stays/bones",
                    "bodice/mock-up", "bodice/correct", "bodice/cut", "shift/hem",
                    "bodice/sew", "shift/cuffs", "bodice/lining", "shoes/glue", "bodice/hem",
                    "bodice/trim",
                )
            ),
            during=(), late=(f"{E}/bodice/trim",), past=False, full=0.78,
        ),
    )  # fmt: skip


def _spot() -> TightSpot:
    """Up to the fitting: 8 h of work in 6 h 15."""
    return TightSpot(
        start=NOW, end=at(8, 14), wanted=480, available=375, proven=True,
        hours=tuple(
            SpotHours(
                start=start, end=start + timedelta(minutes=minutes), place=Place.WORKROOM,
                minutes=minutes,
            )
            for start, minutes in ((at(5, 19, 45), 105), (at(6, 19, 45), 105),
                                   (at(8, 10, 15), 165))
        ),
        steps=tuple(
            SpotStep(id=f"{E}/{step}", minutes=minutes, begins=(), ends=(FITTING,))
            for step, minutes in (("stays/cut", 60), ("stays/channels", 140),
                                  ("stays/join", 115), ("stays/press", 30),
                                  ("stays/bones", 30), ("bodice/mock-up", 105))
        ),
    )  # fmt: skip


def a_plan() -> Plan:
    """The plan that doesn't fit."""
    made = sheet()
    steps = (*_stays(), *_bodice(), *_rest())
    names = {
        E: "Ferrywoman's Sunday clothes", f"{E}/stays": "Stays",
        f"{E}/bodice": "Jacket bodice", f"{E}/shift": "Shift", f"{E}/shoes": "Shoes",
        FITTING: "Body fitting", REGATTA: "Regatta", f"{E}/braid": "narrow wool braid",
        f"{E}/wool": "madder wool",
    }  # fmt: skip
    names.update({step.id: step.name for step in steps})
    return Plan(
        now=NOW, fits=False, verdict=Verdict.DOES_NOT_FIT, peak_load=1.2857142857142858,
        lower_bound=1.28, begin_by=date(2027, 5, 5), wearable_on={E: date(2027, 5, 16)},
        finished_on={E: None}, days=_days(made), windows=tuple(made.windows),
        sittings=tuple(made.sittings), steps=steps, occasions=_occasions(), tight_spot=_spot(),
        unplaced=(
            Unplaced(
                step=f"{E}/bodice/trim", minutes=240,
                reason="the hem must hang a night first, and no hours are left after it",
            ),
        ),
        warnings=(
            Warned(
                file="ferrywoman.toml", place="garment[1].step[0]",
                text="No occasion wants this step, so it is not planned.",
            ),
        ),
        names=names, hand_sewing_limit=150,
    )  # fmt: skip


def a_fitting_plan() -> Plan:
    """The same days, and all fits."""
    plan = a_plan()
    occasions = tuple(
        replace(occasion, fits=True, short=0, late=(), full=0.78) for occasion in plan.occasions
    )
    return replace(
        plan, fits=True, verdict=Verdict.FITS, peak_load=0.78, lower_bound=0.7,
        begin_by=date(2027, 5, 7), unplaced=(), warnings=(), occasions=occasions,
        finished_on={E: date(2027, 5, 16)},
    )  # fmt: skip


def an_empty_plan() -> Plan:
    """A workroom in which nothing is written yet."""
    return replace(
        a_plan(), fits=True, verdict=Verdict.FITS, peak_load=None, lower_bound=None,
        begin_by=None, wearable_on={}, finished_on={}, days=(), windows=(), sittings=(),
        steps=(), occasions=(), tight_spot=None, unplaced=(), warnings=(), names={},
    )  # fmt: skip


def a_project() -> Project:
    """A project to go with the plans: their garments, steps and occasions by name."""
    plan = a_plan()
    layers = {"shift": 1, "stays": 2, "bodice": 4}
    garments: dict[str, list[PlannedStep]] = {}
    for step in plan.steps:
        garments.setdefault(step.id.split("/")[1], []).append(step)
    return Project(
        workroom=Workroom(file="workroom.toml"),
        ensembles=(
            Ensemble(
                id=E, name="Ferrywoman's Sunday clothes", file="ferrywoman.toml",
                occasions=tuple(
                    Occasion(id=one.id.split("/")[1], kind=one.kind, at=one.at, name=one.name)
                    for one in plan.occasions
                ),
                garments=tuple(
                    Garment(
                        id=ident, name=steps[0].garment, layer=layers.get(ident),
                        steps=tuple(
                            Step(
                                id=step.id.split("/")[2], name=step.name, stage=step.stage,
                                optional=step.optional, left_off=step.left_off,
                                hours=step.minutes, work=step.work, place=step.place,
                            )
                            for step in steps
                        ),
                    )
                    for ident, steps in garments.items()
                ),
            ),
        ),
    )  # fmt: skip
