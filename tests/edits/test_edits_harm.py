"""A session that would load what is hurt, or young fingers to the most, is refused as an edit.

A knee is off in the draft from 15 to 18 March 2027 and in full from 29 March.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
from draft_maker import SESSION, YEAR, draft, plan, revision, sessions
from folder_maker import session
from hurt import hurt_text
from plan_maker import day
from test_edits import done, no

from seasonplan.body.almanac import almanac_of
from seasonplan.edits import (
    AddEntry,
    AddSession,
    ChangeEntry,
    ChangeRule,
    Draft,
    MoveSession,
    draft_of,
    together,
)
from seasonplan.edits.harm import (
    CLINICIAN,
    NAME_DAYS,
    Harm,
    harm,
    harmful,
    kind_on,
    meant,
    reason,
    seldom,
    sparing,
)
from seasonplan.plan import Session
from seasonplan.recipes import Need, standard_recipes
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind, Tissue
from seasonplan.year import FixedSession

OFF, EASY = date(2027, 3, 16), date(2027, 3, 19)
RUN = AddSession(recipe="aerobic", day=OFF, start=time(18))


def test_a_session_that_loads_a_part_that_is_off_is_refused_with_what_spares_it() -> None:
    refusal = no(RUN)
    assert refusal.why == "Your knee is off until Thu 18 Mar 2027; this session loads it."
    assert "“Seated pressing and rows”" in refusal.would_work
    assert "“Easy aerobic”" not in refusal.would_work
    assert "If your doctor or physiotherapist allows more" in refusal.would_work
    assert "“Knee”" in refusal.would_work


def test_a_session_too_hard_for_a_part_on_its_way_back_is_refused_until_it_is_back() -> None:
    """Hard use of a knee waits two weeks more (shared/injuries.toml)."""
    legs = AddSession(recipe="legs-and-trunk", day=EASY, start=time(18))
    for when, phase in ((EASY, ""), (OFF, "off until Thu 18 Mar 2027, ")):
        why = no(replace_day(legs, when)).why
        assert why.startswith(f"Your knee is {phase}") and "this session loads it hard" in why
        assert why.endswith("from Mon 12 Apr 2027.")
    assert done(replace_day(RUN, EASY)).year.fixed_sessions


def test_what_spares_the_part_is_taken() -> None:
    edit = AddSession(recipe="seated-press-and-pull", day=OFF, start=time(18))
    assert done(edit).year.fixed_sessions


def test_a_session_is_neither_entered_nor_changed_nor_moved_to_such_a_day() -> None:
    values = {"recipe": "legs-and-trunk", "day": OFF, "start": "18:00", "minutes": 45}
    assert "Your knee is off" in no(AddEntry(section="session", values=values)).why
    before = done(replace_day(RUN, date(2027, 3, 14)))
    (own,) = before.year.fixed_sessions
    assert "Your knee is off" in no(ChangeEntry(id=own.id, values={"day": OFF}), before).why
    with_others = [
        ChangeEntry(id=own.id, values={"day": OFF}),
        ChangeEntry(id="knee", values={"note": "x"}),
    ]
    with pytest.raises(Exception, match="Your knee is off"):
        together(before, with_others)
    held = session("injured-1/2027-03-15/legs-and-trunk-1", "legs-and-trunk", 81, "18:00", 45)
    held = type(held)(**{**dict(held), "block": "injured-1"})
    moving = draft_of(YEAR, plan(revision(sessions=(held,))))
    move = MoveSession(session=held.id, day=OFF)
    assert "Your knee is off" in no(move, moving).why


@pytest.mark.parametrize(("day", "refused"), [(14, False), (15, True), (18, True), (19, False)])
def test_a_part_is_off_from_its_first_to_its_last_day(day: int, refused: bool) -> None:
    run = replace_day(RUN, date(2027, 3, day))
    if refused:
        assert "Your knee is off until Thu 18 Mar 2027" in no(run).why
    else:
        assert done(run).year.fixed_sessions


@pytest.mark.parametrize(("today", "refused"), [(15, True), (16, True), (17, False)])
def test_today_still_asks_what_spares_the_part_and_yesterday_does_not(
    today: int, refused: bool
) -> None:
    """Entered as it was: on 16 March, with a knee that hurt."""
    values = {"recipe": "legs-and-trunk", "day": OFF, "start": "18:00", "minutes": 45}
    entry = AddEntry(section="session", values=values)
    before: Draft = replace(draft(), today=date(2027, 3, today))
    if refused:
        assert "Your knee is off" in no(entry, before).why
    else:
        assert done(entry, before).year.fixed_sessions


def replace_day(edit: AddSession, day: date) -> AddSession:
    return AddSession(**{**dict(edit), "day": day})


def test_an_injury_is_entered_though_a_session_was_wished_before() -> None:
    """The session is the plan's to leave out; the news is never refused for it."""
    free = done(ChangeEntry(id="knee", values={"happened": "2027-03-17"}))
    wished = done(RUN, free)
    after = done(ChangeEntry(id="knee", values={"happened": "2027-03-15"}), wished)
    assert after.year.fixed_sessions == wished.year.fixed_sessions


def test_what_is_over_and_what_the_rules_do_not_ask_is_not_refused() -> None:
    values = {"recipe": "legs-and-trunk", "day": OFF, "start": "18:00", "minutes": 45}
    later: Draft = replace(draft(), today=date(2027, 3, 20))
    assert done(AddEntry(section="session", values=values), later).year.fixed_sessions
    for code in ("session-care", "injury-caps"):
        assert done(RUN, done(ChangeRule(code=code, on=False))).year.fixed_sessions


def test_young_fingers_are_not_loaded_to_the_most_by_a_wish() -> None:
    young = YEAR.replace(
        'time_zone = "Europe/Vienna"', 'time_zone = "Europe/Vienna"\nbirth_year = 2013'
    )
    edit = AddSession(recipe="fingerboard-long", day=date(2027, 1, 5), start=time(19))
    tries = AddSession(recipe="limit-bouldering", day=date(2027, 1, 5), start=time(19))
    for one in (edit, tries):
        assert "not for the young" in no(one, draft(young)).why
    assert done(edit).year.fixed_sessions


# --- what a part leaves possible ------------------------------------------------------------

FINGER = hurt_text(
    "Ring finger", "finger", "2027-01-10", "2027-01-20", "2027-01-30", "2027-02-10", side="left"
)
ELBOW = hurt_text("Elbow", "elbow", "2027-01-10", side="right")  # no days named yet
FLU = hurt_text("Flu", "other", "2027-01-10", "2027-01-20", "2027-01-25", "2027-01-30")
WRISTS = hurt_text("Wrists", "wrist", "2027-01-10", "2027-01-20", "2027-01-30", "2027-02-10",
                   side="both")  # fmt: skip
BOOK = standard_recipes()


def on(number: int) -> date:
    """A day of January 2027, those above 31 of February."""
    return date(2026, 12, 31) + timedelta(number)


def refused_on(text: str, number: int) -> dict[str, Harm]:
    """Every recipe that is not for a day, by its id."""
    year = draft(YEAR + text).year
    almanac, book = almanac_of(year), book_of(year)
    found = {one.id: harm(one, on(number), almanac=almanac, book=book) for one in BOOK.values()}
    return {name: one for name, one in found.items() if one is not None}


@pytest.mark.parametrize("text", [FINGER, WRISTS, FLU])
def test_less_is_refused_with_every_phase_and_nothing_once_it_is_back(text: str) -> None:
    off, easy, building, full, after = (set(refused_on(text, day)) for day in (12, 22, 29, 41, 120))
    assert off > easy >= building >= full >= after == set()
    assert set(refused_on(text, 9)) == set()


def test_off_is_every_recipe_that_uses_the_part_at_all() -> None:
    """By the recipes themselves: any stress on the tissue of the part."""
    for text, tissue in ((FINGER, Tissue.FINGERS), (ELBOW, Tissue.ELBOWS), (WRISTS, Tissue.WRISTS)):
        uses = {one.id for one in BOOK.values() if one.stresses.get(tissue, 0) > 0}
        assert uses <= set(refused_on(text, 12)) < set(BOOK)


def test_on_the_way_back_a_finger_hangs_by_the_recipe_for_it_alone() -> None:
    hangs = {one.id for one in BOOK.values() if Need.HANGBOARD in one.needs}
    for number, allowed in ((12, set()), (22, {"return-fingers"}), (95, hangs)):
        assert hangs - set(refused_on(FINGER, number)) == allowed


@pytest.mark.parametrize(
    ("text", "number", "recipe", "says"),
    [
        (FINGER, 12, "easy-climbing", "Your left finger is off until Tue 19 Jan 2027; this session "
         "loads it."),
        (FINGER, 12, "fingerboard-long", "Your left finger is off until Tue 19 Jan 2027, back "
         "in full from Wed 10 Feb 2027; this session loads it hard and comes after that, from Wed "
         "10 Mar 2027."),
        (FINGER, 22, "fingerboard-long", "Your left finger is back in full from Wed 10 Feb "
         "2027; this session loads it hard and comes after that, from Wed 10 Mar 2027."),
        (FINGER, 45, "fingerboard-long", "Your left finger is back in full from Wed 10 Feb "
         "2027; this session loads it hard and comes after that, from Wed 10 Mar 2027."),
        (ELBOW, 60, "fingerboard-long", "Your right elbow is off, no days named yet; this session "
         "loads it."),
        (FLU, 12, "easy-climbing", "With “Flu” you are off until Tue 19 Jan 2027; this session "
         "is too much."),
        (FLU, 22, "fingerboard-long", "With “Flu” you are not back in full until Fri 29 Jan 2027; "
         "this session is hard."),
        (WRISTS, 12, "easy-climbing", "Your wrist is off until Tue 19 Jan 2027; this session "
         "loads it."),
    ],
)  # fmt: skip
def test_why_is_told_by_part_side_and_days(text: str, number: int, recipe: str, says: str) -> None:
    assert reason(refused_on(text, number)[recipe]) == says


def test_the_way_out_names_what_spares_it_and_whose_word_counts() -> None:
    def would_work(text: str) -> str:
        edit = AddSession(recipe="fingerboard-long", day=on(12), start=time(8))
        return no(edit, draft(YEAR + text)).would_work

    spares = "These spare it: “Easy aerobic”, “Legs and trunk”, “Mobility”, “Trunk, lying down”."
    assert would_work(FINGER) == f"{spares} {CLINICIAN} “Ring finger”."
    assert would_work(ELBOW) == f"{spares} {NAME_DAYS} “Elbow”."
    assert would_work(FLU) == f"These spare it: “Visualisation”. {CLINICIAN} “Flu”."


def test_a_hard_session_beyond_those_of_a_week_just_back_in_full_is_one_too_many() -> None:
    """Two hard uses a week in the second step, from 24 Feb 2027: `[[ramp.steps]]` of the table."""
    year = draft(YEAR + FINGER).year

    def hard(*numbers: int) -> list[Session]:
        return [
            Session(id=f"x{n}", block="x", recipe="interval-circuits", day=on(n), start=time(18),
                    minutes=60, rpe=7)
            for n in numbers
        ]  # fmt: skip

    def said(number: int, *held: int) -> str:
        recipe = BOOK["interval-circuits"]
        found = seldom(recipe, on(number), year=year, sessions=hard(*held))
        return reason(found) if found else ""

    assert said(64, 60, 62).startswith(
        "Your left finger is just back; until Tue 9 Mar 2027: hard use of the fingers at "
        "most twice a week;"
    )
    assert said(64, 60) == said(64, 50, 52) == ""  # room left; those of another week
    assert said(90, 88, 89) == ""  # after the last step


def test_what_spares_a_part_fits_the_kind_of_block_and_is_no_harm() -> None:
    year = draft(YEAR + FINGER).year
    for kind in (None, Kind.BASE, Kind.REST):
        found = sparing(year, on(22), kind=kind)
        names = [one.name for one in found]
        assert names == sorted(names) and names
        assert {one.id for one in found} == {
            one.id for one in BOOK.values()
            if one.minutes and (kind is None or kind in one.kinds)
            and one.id not in refused_on(FINGER, 22)
        }  # fmt: skip


def test_the_kind_of_a_day_is_what_the_year_gives_else_what_was_planned() -> None:
    there = draft()
    for number, kind in ((0, Kind.BASE), (21, Kind.TRIP), (28, Kind.REST), (62, Kind.PERFORMANCE),
                         (63, Kind.ABSENCE), (70, Kind.INJURED), (84, None)):  # fmt: skip
        assert kind_on(there, day(number)) is kind
    week = {"name": "x", "first": day(3), "last": day(12)}
    away = done(AddEntry(section="absence", values=week), there)
    assert kind_on(away, day(3)) is Kind.ABSENCE
    assert kind_on(replace(there, plan=None), day(3)) is None


# --- wishes ---------------------------------------------------------------------------------


def test_a_wish_is_of_its_own_recipe_and_day_or_of_those_of_the_session_it_changes() -> None:
    planned = sessions()
    own = FixedSession(recipe="mobility", day=day(9), start="07:00", minutes=20)
    moved, longer = (FixedSession(session=SESSION, **one) for one in
                     ({"day": day(9)}, {"minutes": 40}))  # fmt: skip
    gone = FixedSession(session="base-1/2027-01-04/legs-and-trunk-2", day=day(9))
    found = [meant(one, planned, BOOK) for one in (own, moved, longer, gone)]
    assert [(when, one and one.id) for when, one in found] == [
        (day(9), "mobility"), (day(9), "mobility"), (day(1), "mobility"),
        (day(9), "legs-and-trunk"),
    ]  # fmt: skip
    nothing = FixedSession(session="base-1/2027-01-04/never-heard-of-1", minutes=40)
    assert meant(nothing, planned, BOOK) == (None, None)


def test_skipping_a_session_or_one_of_an_unknown_recipe_does_no_harm() -> None:
    year = draft(YEAR + FINGER).year
    wish = {"recipe": "fingerboard-long", "day": on(12), "start": "18:00", "minutes": 60}
    assert [when for when, _ in harmful(year, [FixedSession(**wish)], ())] == [on(12)]
    skipped = FixedSession(session="base-1/2027-01-11/fingerboard-long-1", skip=True)
    unknown = FixedSession(session="base-1/2027-01-11/own-thing-1", day=on(12))
    later = FixedSession(**{**wish, "day": on(95)})
    assert list(harmful(year, [skipped, unknown, later], ())) == []
