"""How it is going: the hours in hand, day by day, and what is short at the pace so far."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.reading import read_project
from planner.going import Going, how_it_goes
from planner.in_hand import serving
from planner.kept import kept_of
from planner.model import Kept, PaceChoices, Place, Project
from planner.planning import plan_project
from tests.planner.little import BALL, NOW, ensemble, every, garment, project

SAMPLE = Path("sample_projects/oldmere_regatta")


def entry(at: str, step: str, minutes: int, more: str = "done = true") -> str:
    """An entry of a diary."""
    return f'[[entry]]\nat = {at}\nstep = "e/g/{step}"\nminutes = {minutes}\n{more}\n'


def goes(it: Project, now: datetime = NOW, behind: tuple[datetime, ...] = ()) -> Going:
    """How it goes, without anything learnt; ``behind``: moments from which plans were kept."""
    room = replace(it.workroom, pace=PaceChoices(learn=False))
    it = replace(it, workroom=room)
    bare = replace(it, diary=replace(it.diary, entries=()))
    kept = [kept_of(plan_project(bare, moment)) for moment in behind]
    return how_it_goes(it, plan_project(it, now), now, kept)


def test_hours_in_hand_are_hours_less_work(tmp_path: Path) -> None:
    """Five evenings of two hours for three hours of work leave seven in hand."""
    found = goes(project(tmp_path, ensemble(garment("a 120", "b 60"))))
    assert found.occasion == "e/ball"
    assert [(one.hours, one.left, one.minutes) for one in found.behind] == [(600, 180, 420)]
    assert found.ahead[0] == found.behind[-1]
    assert found.first is None
    assert found.closes is None


def test_days_behind_are_found_from_the_diary(tmp_path: Path) -> None:
    """A day on which as much was done as it had keeps what is in hand; a lost one takes it."""
    diary = entry("2027-05-03T21:00:00", "a", 120)
    found = goes(
        project(tmp_path, ensemble(garment("a 120", "b 60")), diary=diary), datetime(2027, 5, 5)
    )
    assert found.first == date(2027, 5, 3)
    assert [one.minutes for one in found.behind] == [420, 420, 300]
    assert [one.left for one in found.behind] == [180, 60, 60]


def test_a_day_that_was_lost_had_its_hours_until_then(tmp_path: Path) -> None:
    """Hours that a change took from a day behind are lost on that day, not from the beginning."""
    diary = entry("2027-05-03T21:00:00", "a", 120)
    change = '[[change]]\non = 2027-05-04\nworkroom = []\nreason = "fever"\n'
    it = project(
        tmp_path, ensemble(garment("a 120", "b 60")), every("workroom", "19:00-21:00") + change,
        diary=diary,
    )  # fmt: skip
    assert [one.minutes for one in goes(it, datetime(2027, 5, 5)).behind] == [420, 420, 300]


def test_days_ahead_follow_the_plan(tmp_path: Path) -> None:
    """What is planned on a day is done on it; hours without work go by unused, down to none."""
    found = goes(project(tmp_path, ensemble(garment("a 120", "b 60"))))
    assert [one.at.day for one in found.ahead] == [3, 4, 5, 6, 7, 8]
    assert [one.left for one in found.ahead][-1] == 0
    assert found.ahead[-1].minutes == 0
    minutes = [one.minutes for one in found.ahead]
    assert minutes == sorted(minutes, reverse=True)


def test_too_much_work_closes_at_once(tmp_path: Path) -> None:
    """Where there is more work than hours, nothing is in hand from today on."""
    found = goes(project(tmp_path, ensemble(garment("a 400", "b 300"))))
    assert found.closes == NOW.date()
    assert found.by[-1].in_hand == -100


def test_hours_count_only_as_far_as_work_can_be_done_in_them(tmp_path: Path) -> None:
    """Sofa hours serve no table work: five evenings on the sofa for an hour of it are an hour."""
    hours = every("workroom", "19:00-20:00") + every("sofa", "20:00-22:00")
    steps = ("a 120", 'b 60 work="hand", place="sofa"')
    found = goes(project(tmp_path, ensemble(garment(*steps)), hours))
    assert found.ahead[0].hours == 5 * 60 + 60
    assert found.ahead[0].minutes == 180


def test_what_was_planned_is_compared_with_what_it_took(tmp_path: Path) -> None:
    """Three finished steps a quarter slower; what is left is told at that pace, scaled by it."""
    diary = "".join(
        entry(f"2027-05-03T{hour}:00:00", step, 75)
        for hour, step in (("12", "a"), ("15", "b"), ("18", "c"))
    )
    steps = ("a 60", "b 60", "c 60", "d 240")
    found = goes(project(tmp_path, ensemble(garment(*steps)), diary=diary), datetime(2027, 5, 4))
    done = found.so_far
    assert done is not None
    assert done.enough
    assert (done.steps, done.planned, done.logged) == (3, 180, 225)
    assert done.ratio == done.ahead == 1.25
    assert (found.by[-1].in_hand, found.by[-1].at_pace) == (480 - 240, 480 - 300)
    assert found.at_pace[0].minutes == 180
    assert found.at_pace[-1].minutes == 0


def test_a_pace_that_is_learnt_is_counted_once() -> None:
    """Where estimates follow the diary, what is left isn't stretched again."""
    it = read_project(Path("sample_projects/oldmere_regatta"))
    now = datetime(2027, 6, 7)
    found = how_it_goes(it, plan_project(it, now), now)
    assert it.workroom.pace.learn
    assert found.so_far is not None
    assert abs(found.so_far.ahead - 1) < abs(found.so_far.ratio - 1)
    assert found.at_pace == ()
    assert found.by[-1].at_pace == found.by[-1].in_hand


def test_what_estimates_have_not_learnt_is_told_at_this_pace(tmp_path: Path) -> None:
    """The maker's own hours aren't stretched by what was learnt: that the work takes longer is
    told beside the plan, also where it learns."""
    diary = "".join(
        entry(f"2027-05-03T{hour}:00:00", step, 75)
        for hour, step in (("12", "a"), ("15", "b"), ("18", "c"))
    )
    it = project(tmp_path, ensemble(garment("a 60", "b 60", "c 60", "d 240")), diary=diary)
    now = datetime(2027, 5, 4)
    found = how_it_goes(it, plan_project(it, now), now)
    assert it.workroom.pace.learn
    assert (found.by[-1].in_hand, found.by[-1].at_pace) == (240, 180)
    assert found.at_pace[0].minutes == 180


def test_two_steps_say_nothing_of_the_pace(tmp_path: Path) -> None:
    """With fewer than three finished steps nothing is told at this pace."""
    diary = "".join(entry(f"2027-05-03T1{n}:00:00", s, 90) for n, s in enumerate("ab"))
    it = project(tmp_path, ensemble(garment("a 60", "b 60", "c 60")), diary=diary)
    found = goes(it, datetime(2027, 5, 4))
    assert found.so_far is not None
    assert not found.so_far.enough
    assert found.at_pace == ()
    assert [one.at_pace for one in found.by] == [None]


def test_a_plan_kept_then_wins_over_todays_estimate(tmp_path: Path) -> None:
    """What was planned for a step when it was begun is compared, not what its file says now."""
    diary = "".join(
        entry(f"2027-05-04T{hour}:00:00", step, 60)
        for hour, step in (("12", "a"), ("15", "b"), ("18", "c"))
    )
    steps = ("a 50", "b 50", "c 50", "d 100")
    it = project(tmp_path, ensemble(garment(*steps)), diary=diary)
    then = project(tmp_path / "then", ensemble(garment("a 60", "b 60", "c 60")))
    kept = kept_of(plan_project(then, NOW))
    now = datetime(2027, 5, 5)
    found = how_it_goes(it, plan_project(it, now), now, [kept])
    assert found.so_far is not None
    assert found.so_far.ratio == 1.0
    assert found.first == NOW.date()


def test_what_was_planned_on_days_behind_is_told_with_what_was_done(tmp_path: Path) -> None:
    """With a plan of then, its minutes on the days behind stand beside those logged."""
    diary = entry("2027-05-03T20:00:00", "a", 60, "")
    it = project(tmp_path, ensemble(garment("a 300", "b 300")), diary=diary)
    found = goes(it, datetime(2027, 5, 5), behind=(NOW,))
    assert found.kept_up is not None
    assert (found.kept_up.since, found.kept_up.planned, found.kept_up.done) == (
        NOW.date(), 240, 60,
    )  # fmt: skip


def test_a_day_whose_plan_was_short_has_nothing_in_hand(tmp_path: Path) -> None:
    """What the plan of a day told as short is told so of it later, whatever is known since; and so
    of the days up to the next plan that is short. A day whose plan had enough keeps its figure."""
    it = project(tmp_path, ensemble(garment("a 60", "b 30")))
    bare = goes(it, datetime(2027, 5, 7), behind=(NOW,)).behind
    assert [one.minutes > 0 for one in bare[:-1]] == [True] * 4

    def short(day: int, by: int, hour: int = 18) -> Kept:
        kept = kept_of(plan_project(it, datetime(2027, 5, day, hour)))
        return replace(kept, short={"e/ball": by} if by else {})

    def behind(*kept: Kept) -> list[int]:
        now = datetime(2027, 5, 7)
        found = how_it_goes(it, plan_project(it, now), now, kept).behind
        assert found[-1] == bare[-1]
        assert all(one.hours >= 0 and one.left >= 0 for one in found)
        return [one.minutes for one in found[:-1]]

    then = [one.minutes for one in bare[:-1]]
    assert behind(short(3, 249)) == [-249, *then[1:]]
    assert behind(short(3, 249), short(5, 30)) == [-249, -249, -30, then[3]]
    assert behind(short(3, 249), short(5, 0)) == [-249, *then[1:]]
    # the first plan of a day is the one it was set out with
    assert behind(short(3, 249), short(3, 0, 20)) == [-249, *then[1:]]


def test_a_fitting_has_its_own_figure(tmp_path: Path) -> None:
    """What the fitting wants is set against the hours up to it, and only that."""
    fitting = '{ id = "fit", kind = "fitting", at = 2027-05-05T12:00:00, wants = ["g/a"] }'
    it = project(tmp_path, ensemble(garment("a 120", "b 60"), f"{fitting}, {BALL}"))
    found = goes(it)
    assert [(one.occasion, one.in_hand) for one in found.by] == [
        ("e/fit", 240 - 120), ("e/ball", 600 - 180),
    ]  # fmt: skip


def test_nothing_ahead_is_told_as_such(tmp_path: Path) -> None:
    """After the last occasion there is no hem."""
    it = project(tmp_path, ensemble(garment("a 120")))
    found = goes(it, datetime(2027, 6, 1))
    assert (found.occasion, found.behind, found.ahead, found.by) == (None, (), (), ())


def test_the_figure_of_a_short_occasion_is_the_plans() -> None:
    """One shortfall is told: the plan's."""
    it = read_project(SAMPLE)
    plan = plan_project(it, datetime(2027, 6, 7))
    found = how_it_goes(it, plan, plan.now)
    short = {one.id: one.short for one in plan.occasions if one.short}
    assert short
    assert {one.occasion: -one.in_hand for one in found.by if one.in_hand < 0} == short


minutes = st.integers(0, 1000)
by_place = st.fixed_dictionaries(dict.fromkeys(Place, minutes))


@given(by_place, by_place)
def test_hours_that_serve_are_no_more_than_there_are(
    there: dict[Place, int], work: dict[Place, int]
) -> None:
    """No more than all hours, no less than the workroom's, and more work never takes any away."""
    found = serving(there, work)
    assert there[Place.WORKROOM] <= found <= sum(there.values())
    more = {place: n + 30 for place, n in work.items()}
    assert serving(there, more) >= found


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_laws_of_the_hours_in_hand(data: st.DataObject) -> None:
    """Behind and ahead meet at now; moments go forward; hours only go; a slower pace leaves less
    in hand at every moment."""
    it = read_project(SAMPLE)
    entries = data.draw(st.lists(st.sampled_from(it.diary.entries), unique=True))
    entries = [one for one in it.diary.entries if one in entries]
    it = replace(
        it, diary=replace(it.diary, entries=tuple(entries)),
        workroom=replace(it.workroom, pace=PaceChoices(learn=False)),
    )  # fmt: skip
    now = datetime(2027, 6, 7) + timedelta(days=data.draw(st.integers(0, 15)))
    found = how_it_goes(it, plan_project(it, now), now)
    assert found.behind[-1] == found.ahead[0]
    moments = [one.at for one in (*found.behind, *found.ahead[1:])]
    assert moments == sorted(set(moments))
    assert all(one.hours >= 0 and one.left >= 0 for one in (*found.behind, *found.ahead))
    lefts = [one.left for one in found.behind]
    if not any(one.left is not None for one in entries):
        assert lefts == sorted(lefts, reverse=True)
    if found.at_pace and found.so_far is not None and found.so_far.ahead > 1:
        assert [one.at for one in found.at_pace] == [one.at for one in found.ahead]
        assert all(
            paced.minutes <= max(0, plan.minutes)
            for paced, plan in zip(found.at_pace, found.ahead, strict=True)
        )
        short = found.at_pace[0].minutes < 0
        assert (found.closes_at_pace is not None) == short
