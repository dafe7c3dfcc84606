"""A proposal changes nothing until it is accepted; then year and plan are kept together."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import date, time
from pathlib import Path

import pytest
from autumn import NEWS, STAMP, first_plan, occasion, planned, proposal, text_of, whole, year_of
from hurt import hurt_text

from seasonplan.days import day_text
from seasonplan.edits import AddEntry, EditRefused, read
from seasonplan.errors import ChangedOnDisk, StaleProposal
from seasonplan.explain.before_after import block_lines, moved_lines, summary
from seasonplan.plan import Block, Revision
from seasonplan.planning.history import Move, block_changes
from seasonplan.planning.proposal import (
    Keep,
    Proposal,
    ProposedChange,
    alternatives,
    later_goals,
    news,
    propose,
)
from seasonplan.planning.replan import Stopped
from seasonplan.recipes import standard_recipes
from seasonplan.rules.tables import keep_points
from seasonplan.vocabulary import EMPHASES, Kind
from seasonplan.workspace.desk import Desk
from seasonplan.year import Year

SPRING = "twelve-weeks"
TODAY = date(2026, 4, 8)
FAIR = AddEntry(
    section="absence", values={"name": "Fair", "first": "2026-04-13", "last": "2026-04-16"}
)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """Twelve weeks with their plan, after a fair was entered."""
    opened = Desk(planned(tmp_path, SPRING))
    opened.change(FAIR)
    return opened


def asked(desk: Desk, keep: Keep = Keep.MEDIUM) -> Proposal:
    answer = desk.propose("the fair", stamp=STAMP, today=TODAY, keep=keep)
    assert isinstance(answer, Proposal)
    return answer


def performing(proposal: Proposal) -> str:
    """The id of a block that lies whole in the days to come."""
    return next(b.id for b in proposal.after.blocks if b.kind.chosen and b.span.first > TODAY)


# --- accepted or not ------------------------------------------------------------------------


def test_looking_at_proposals_writes_nothing(desk: Desk) -> None:
    before = whole(desk.folder)
    asked(desk)
    desk.alternatives("the fair", stamp=STAMP, today=TODAY)
    assert whole(desk.folder) == before
    assert desk.plan is not None and desk.plan.current.number == 1


def test_an_accepted_proposal_is_the_plan_that_was_shown(desk: Desk) -> None:
    shown = asked(desk)
    kept = desk.accept(shown)
    again = Desk(desk.folder)
    assert again.plan is not None and again.plan.current == kept
    assert (kept.number, kept.cause, kept.year_text) == (2, "the fair", again.draft().text)
    assert (kept.blocks, kept.sessions, kept.score) == (
        shown.after.blocks, shown.after.sessions, shown.after.score,
    )  # fmt: skip
    assert not again.stale and again.up_to_date


def test_accepting_with_pins_fixes_the_blocks_in_year_and_plan(desk: Desk) -> None:
    shown = asked(desk)
    name = performing(shown)
    kept = desk.accept(shown, pinned=[name])
    again = Desk(desk.folder)
    assert [pin.id for pin in again.year.pins] == [f"pin-{name}"]
    block = again.block(name)
    assert block is not None and block.pinned and block.entry == f"pin-{name}"
    assert block.span == again.year.pins[0].span
    assert {b.id for b in kept.blocks if b.pinned} == {name}
    assert not again.stale
    assert text_of(SPRING).splitlines()[0] in again.draft().text  # remarks stay


def test_a_pinned_block_is_proposed_again_as_it_lies(desk: Desk) -> None:
    shown = asked(desk)
    name = performing(shown)
    desk.accept(shown, pinned=[name])
    was = desk.block(name)
    more = {"name": "Second fair", "first": "2026-04-20", "last": "2026-04-24"}
    desk.change(AddEntry(section="absence", values=more))
    block = next(b for b in asked(desk).after.blocks if b.id == name)
    assert was is not None and (block.span, block.pinned) == (was.span, True)


def test_a_pin_that_cannot_be_set_accepts_nothing(desk: Desk) -> None:
    before = whole(desk.folder)
    with pytest.raises(EditRefused):
        desk.accept(asked(desk), pinned=["base-99"])
    assert whole(desk.folder) == before


# --- stale ----------------------------------------------------------------------------------


def test_a_proposal_is_stale_after_the_year_changed(desk: Desk) -> None:
    shown = asked(desk)
    desk.change(AddEntry(section="absence", values={**FAIR.values, "name": "Other fair"}))
    before = whole(desk.folder)
    with pytest.raises(StaleProposal, match="ask for a new proposal"):
        desk.accept(shown)
    assert whole(desk.folder) == before


def test_a_proposal_is_stale_after_another_was_accepted(desk: Desk) -> None:
    shown, other = asked(desk), asked(desk, Keep.HIGH)
    desk.accept(other)
    before = whole(desk.folder)
    for late in (shown, other):
        with pytest.raises(StaleProposal):
            desk.accept(late)
    assert whole(desk.folder) == before


def test_a_proposal_is_stale_after_an_undo(desk: Desk) -> None:
    desk.accept(asked(desk))
    shown = asked(desk)
    desk.undo(stamp=STAMP)
    with pytest.raises(StaleProposal):
        desk.accept(shown)


def test_files_that_another_program_changed_meanwhile_are_not_written_over(desk: Desk) -> None:
    for name in ("year.toml", "plan.json"):
        shown = asked(desk)
        path = desk.folder / name
        mine = path.read_bytes()
        path.write_bytes(mine + b"\n")
        before = whole(desk.folder)
        with pytest.raises(ChangedOnDisk):
            desk.accept(shown)
        assert whole(desk.folder) == before
        path.write_bytes(mine)


def test_a_remark_written_meanwhile_makes_nothing_stale_and_stays(desk: Desk) -> None:
    shown = asked(desk)
    path = desk.folder / "year.toml"
    path.write_text(path.read_text(encoding="utf-8") + "# booked\n", encoding="utf-8")
    kept = Desk(desk.folder).accept(shown)
    assert path.read_text(encoding="utf-8").endswith("# booked\n")
    assert kept.year_text == path.read_text(encoding="utf-8")


# --- undone ---------------------------------------------------------------------------------


def test_undo_after_accepting_brings_year_and_plan_back(tmp_path: Path) -> None:
    """As they were when the first plan was made: before the news was written down."""
    folder = planned(tmp_path, SPRING)
    first = whole(folder)["year.toml"]
    desk = Desk(folder)
    desk.change(FAIR)
    shown = asked(desk)
    desk.accept(shown, pinned=[performing(shown)])
    accepted = whole(folder)["year.toml"]
    desk.undo(stamp=STAMP)
    again = Desk(folder)
    assert whole(folder)["year.toml"] == first
    assert again.plan is not None and not again.stale
    assert again.plan.current.blocks == first_plan(SPRING).current.blocks
    assert again.plan.current.sessions == first_plan(SPRING).current.sessions
    assert again.plan.current.number == 3
    again.redo(stamp=STAMP)
    assert whole(folder)["year.toml"] == accepted
    assert Desk(folder).year.pins


# --- other answers --------------------------------------------------------------------------


def others(case: str) -> dict[str, Proposal]:
    name = f"autumn-{case}"
    found = alternatives(
        year_of(name), occasion(name), previous=first_plan(), old_year=year_of("autumn"),
        today=NEWS[case].today,
    )  # fmt: skip
    return {answer.label: answer for answer in found}


def test_other_answers_change_less_or_are_worth_more() -> None:
    case = "trip-a-week-later"
    found = others(case)
    few, best = found["fewest changes"], found["best season"]
    shown = proposal(case)
    assert len(few.changed) < len(shown.changed) <= len(best.changed)
    assert few.points <= shown.points <= best.points
    assert few.points < best.points
    assert not few.edits and not best.edits


TWO = "two-seasons-for-a-goal"
ELBOW = hurt_text("Elbow", "elbow", "2027-08-20", "2027-09-10", "2027-09-24", "2027-10-08")
HURT = date(2027, 8, 21)


def test_a_goal_may_be_put_off_to_its_next_season_and_remarks_stay(tmp_path: Path) -> None:
    folder = planned(tmp_path, TWO)
    (folder / "year.toml").write_text(text_of(TWO) + ELBOW, encoding="utf-8")
    desk = Desk(folder)
    shown = desk.propose("elbow", stamp=STAMP, today=HURT)
    assert isinstance(shown, Proposal)
    assert [change.reachable for change in shown.goals] == [False]
    found = {one.label: one for one in desk.alternatives("elbow", stamp=STAMP, today=HURT)}
    later = found["goals at their next season"]
    assert later.after.score.points > shown.after.score.points + 3
    assert {c.entry: c.reachable for c in later.goals} == {"autumn": False, "spring": True}
    desk.accept(later)
    again = Desk(folder)
    (goal,) = again.year.goals
    assert goal.served_by == ("spring",) and not again.stale
    text = (folder / "year.toml").read_text(encoding="utf-8")
    was = (text_of(TWO) + ELBOW).splitlines()
    changed = [line for line in text.splitlines() if line not in was]
    assert len(changed) == 1 and changed[0].startswith('served_by = ["spring"]')
    assert "# spring only if autumn fails" in text and "# the left line" in text


def test_only_another_season_to_come_of_the_same_place_is_one_to_put_off_to() -> None:
    def put_off(year: Year, today: date) -> list[object]:
        return [edit.values["served_by"] for edit in later_goals(year, today=today)]

    year = year_of(TWO)
    assert put_off(year, date(2027, 7, 6)) == [["spring"]]
    assert put_off(year, date(2027, 9, 20)) == [["spring"]]  # autumn has begun
    assert put_off(year, date(2027, 12, 1)) == []  # autumn is over
    free = read(text_of(TWO).replace('served_by = ["autumn"]', ""))
    assert put_off(free, date(2027, 7, 6)) == [["spring"]]
    assert put_off(free, date(2027, 12, 1)) == []  # spring is its next one
    elsewhere = read(text_of(TWO).replace('place = "Fernwall"', 'place = "Elsewhere"', 1))
    assert put_off(elsewhere, date(2027, 7, 6)) == []
    less = read(text_of(TWO).replace("priority = 1", "priority = 2"))
    assert put_off(less, date(2027, 7, 6)) == []


def test_a_season_of_every_year_is_no_other_season_to_put_off_to() -> None:
    text = text_of(TWO).replace("weeks = 42", "weeks = 100").replace('served_by = ["autumn"]', "")
    text = text[: text.index('[[season]]\nname = "Fernwall in spring"')]
    text = text.replace("first = 2027-09-06", 'first = "09-06"')
    text = text.replace("last = 2027-10-10", 'last = "10-10"')
    year = read(text)
    assert len(list(year.seasons[0].spells(year.span))) == 2
    assert later_goals(year, today=date(2027, 7, 6)) == ()


# --- what changed ---------------------------------------------------------------------------


def test_the_news_are_the_entries_that_differ_with_the_days_they_had_and_have() -> None:
    old, new = year_of("autumn"), year_of("autumn-trip-a-week-later")
    (days,) = news(old, new).values()
    assert list(news(old, new)) == ["saltmere"]
    assert sorted(span.first for span in days) == [date(2027, 4, 10), date(2027, 4, 17)]
    assert list(news(new, old)) == ["saltmere"]
    assert news(old, old) == {}
    (hurt,) = news(old, year_of("autumn-finger-in-june")).values()
    assert [(span.first, span.after) for span in hurt] == [(date(2027, 6, 8), date(2027, 8, 3))]


def test_nothing_new_proposes_no_change() -> None:
    answer = propose(
        year_of("autumn"), occasion("autumn"), previous=first_plan(), old_year=year_of("autumn"),
        today=date(2027, 3, 17), keep=keep_points(Keep.MEDIUM),
    )  # fmt: skip
    assert isinstance(answer, Proposal)
    assert (answer.blocks, answer.changed, answer.news) == ((), (), ())
    # a week cut where today is has its minutes rounded twice
    assert answer.points == pytest.approx(0, abs=0.02)
    assert answer.after.sessions == answer.before.sessions


def test_a_proposal_without_blocks_says_what_there_is_to_accept() -> None:
    """The user was asked to accept a plan of which nothing was said to change."""
    answer = proposal("trip-a-week-later")
    old = answer.before
    fewer = old.model_copy(update={"sessions": old.sessions[1:]})
    other = old.proof.model_copy(update={"confirmed": not old.proof.confirmed})
    proven = old.model_copy(update={"proof": other})

    def told(after: Revision) -> str:
        plan = answer.plan.model_copy(update={"revisions": (old, after)})
        return summary(replace(answer, blocks=(), changed=(), plan=plan))

    assert told(old).endswith("The year is worth as much as before.")
    assert told(fewer).endswith("1 session is not as before.")
    assert "found exactly" in told(proven) and "found exactly" not in told(fewer)


def test_where_other_days_can_be_used_good_days_are_told_and_no_worth() -> None:
    """Four good days of seven went with a hurt finger; the year was told to be worth 0.7 less, as
    form on fewer days is less form."""
    answer = proposal("finger-in-june")
    assert "With form, the year is worth" in summary(answer)
    first, *others = answer.goals
    assert first.after is not None
    fewer = first.after.model_copy(update={"possible": first.after.possible - 3})
    told = summary(replace(answer, goals=(replace(first, after=fewer), *others)))
    assert "is worth" not in told and told.endswith(
        "good days on rock are to be expected in all, as before."
    )


def test_sessions_that_go_elsewhere_are_told_one_by_one() -> None:
    """The user moved two in the phone and was told that two were not as before."""
    answer = proposal("trip-a-week-later")
    old = answer.before
    at = next(n for n, one in enumerate(old.sessions) if one.day >= answer.today)
    first = old.sessions[at]
    book = standard_recipes()
    name = book[first.recipe].name

    def told(count: int, **changes: object) -> list[str]:
        later = [one.model_copy(update=changes) for one in old.sessions[at : at + count]]
        sessions = (*old.sessions[:at], *later, *old.sessions[at + count :])
        after = old.model_copy(update={"sessions": sessions})
        plan = answer.plan.model_copy(update={"revisions": (old, after)})
        return list(moved_lines(replace(answer, plan=plan), book))

    was = f"{day_text(first.day)} at {first.start:%H:%M}"
    assert told(1, start=time(5)) == [f"“{name}”: {was} → {day_text(first.day)} at 05:00."]
    (longer,) = told(1, minutes=first.minutes + 5)
    assert f"for {first.minutes} min → " in longer
    assert len(told(12, start=time(5))) == 9
    assert told(12, start=time(5))[-1] == "4 sessions more at another time."
    assert told(0) == []


def test_what_became_of_a_block_is_told_by_its_days_and_kind() -> None:
    moves = {change.stands.id: change.moves for change in proposal("trip-a-week-later").blocks}
    assert moves["trip-1"] == (Move.MOVED,) and moves["strength-2"] == (Move.SHORTENED,)
    assert (Move.ADDED,) in moves.values() and (Move.KIND,) not in moves.values()
    hurt = {change.stands.id: change.moves for change in proposal("finger-in-june").blocks}
    assert hurt["strength-2"] == (Move.REMOVED,) and Move.LENGTHENED in hurt["base-3"]


def test_a_search_stopped_at_once_proposes_nothing() -> None:
    stop = threading.Event()
    stop.set()
    answer = propose(
        year_of("autumn-trip-a-week-later"), occasion("autumn"), previous=first_plan(),
        old_year=year_of("autumn"), today=date(2027, 3, 20), keep=0.15, stop=stop,
    )  # fmt: skip
    assert isinstance(answer, Stopped)


def test_another_emphasis_on_the_same_days_is_a_change_and_is_told() -> None:
    """A block that goes on as it lay but trains something else must not go unseen."""
    answer = proposal("trip-a-week-later")
    base = next(b for b in answer.before.blocks if b.kind is Kind.BASE and b.emphasis)
    other = next(e for e in EMPHASES[Kind.BASE] if e is not base.emphasis)
    new = Block(**{**dict(base), "emphasis": other})
    (change,) = block_changes([base], [new])
    assert change.moves == (Move.EMPHASIS,)
    only = replace(
        answer, blocks=(ProposedChange(change.moves, base, new, None),), changed=(), goals=()
    )
    (line,) = block_lines(only)
    assert line.startswith(f"{base.id} trains {other}, not {base.emphasis}: ")
    assert "1 block changes; 0 days are of another kind." in summary(only)
