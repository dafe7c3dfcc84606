"""Blocks moved, resized, split, joined, fixed: a pin in the year; and what is in the way."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from draft_maker import YEAR, draft, lines_changed
from plan_maker import FIRST, block, day, span
from test_edits import done, no

from seasonplan.edits import (
    AnEdit,
    ChangeKind,
    ChangeRule,
    Draft,
    EditRefused,
    JoinBlocks,
    MoveBlock,
    PinBlock,
    RemoveEntry,
    ResizeBlock,
    SplitBlock,
    UnpinBlock,
    edit_of,
)
from seasonplan.vocabulary import Emphasis, Kind


def pins(draft: Draft) -> dict[str, tuple[str, date, int]]:
    """Kind, first day and days of each pin."""
    return {pin.id: (pin.kind, pin.first, pin.span.length) for pin in draft.year.pins}


# --- move -----------------------------------------------------------------------------------


def test_a_moved_block_is_a_pin_in_the_year_and_the_plan_stays() -> None:
    before = draft()
    after = done(MoveBlock(block="strength-1", days=7), before)
    assert pins(after) == {"pin-strength-1": ("strength", day(42), 7)}
    assert after.plan == before.plan
    assert lines_changed(YEAR, after.text)[0] == []


@pytest.mark.parametrize(
    ("kind", "emphasis", "kept"),
    [
        (Kind.STRENGTH, Emphasis.POWER, Emphasis.POWER),
        (Kind.BASE, Emphasis.MOVEMENT, Emphasis.MOVEMENT),
        (Kind.PERFORMANCE, Emphasis.FINGERS, Emphasis.NONE),  # its light weeks would be fixed too
        (Kind.REST, Emphasis.NONE, Emphasis.NONE),
    ],
)
def test_a_block_that_is_fixed_goes_on_training_what_it_trained(
    kind: Kind, emphasis: Emphasis, kept: Emphasis
) -> None:
    there = block(kind, 35, 7, id="it-1", emphasis=emphasis)
    after = done(PinBlock(block="it-1"), draft(YEAR, blocks=(there,)))
    (pin,) = after.year.pins
    assert (pin.kind, pin.emphasis) == (kind, kept)


def test_a_fixed_block_that_becomes_another_kind_drops_its_emphasis() -> None:
    there = block(Kind.STRENGTH, 35, 7, id="it-1", emphasis=Emphasis.POWER)
    fixed = done(PinBlock(block="it-1"), draft(YEAR, blocks=(there,)))
    after = done(ChangeKind(block="it-1", kind=Kind.BASE), fixed)
    (pin,) = after.year.pins
    assert (pin.kind, pin.emphasis) == (Kind.BASE, Emphasis.NONE)


def test_a_fixed_block_that_moves_keeps_its_emphasis_and_one_without_loses_none() -> None:
    there = block(Kind.STRENGTH, 35, 7, id="it-1", emphasis=Emphasis.POWER)
    fixed = done(PinBlock(block="it-1"), draft(YEAR, blocks=(there,)))
    (pin,) = done(MoveBlock(block="it-1", days=-2), fixed).year.pins
    assert (pin.first, pin.emphasis) == (day(33), Emphasis.POWER)
    plain = done(ChangeKind(block="rest-1", kind=Kind.BASE), done(PinBlock(block="rest-1")))
    assert pins(plain) == {"pin-rest-1": ("base", day(28), 7)}


def test_a_block_moved_twice_moves_on_from_where_it_was_put() -> None:
    after = done(MoveBlock(block="strength-1", days=7))
    after = done(MoveBlock(block="strength-1", days=-3), after)
    assert pins(after) == {"pin-strength-1": ("strength", day(39), 7)}


def test_a_block_fixed_by_a_pin_of_another_name_keeps_that_pin() -> None:
    text = YEAR + (
        '[[pin]]\nname = "Hard week"\nkind = "strength"\nfirst = 2027-02-08\nlast = 2027-02-14\n'
    )
    fixed = block(Kind.STRENGTH, 35, 7, id="strength-1", entry="hard-week", pinned=True)
    after = done(MoveBlock(block="strength-1", days=7), draft(text, blocks=(fixed,)))
    assert pins(after) == {"hard-week": ("strength", day(42), 7)}


@pytest.mark.parametrize(
    ("block_id", "days", "why", "would_work"),
    [
        ("strength-1", -14, "“Isle” is in the way", "Moving it 1 week earlier would work."),
        ("base-1", -7, "your year begins on Mon 4 Jan 2027",
         "The nearest free place is 4 weeks later, from Mon 1 Feb 2027."),
        ("performance-1", 1, "“Lake” is in the way",
         "The nearest free place is 1 day earlier, from Sun 14 Feb 2027."),
        ("base-1", 3, "“Isle” is in the way", "Moving it 4 weeks later would work."),
        ("strength-1", 800, "your year ends on Sun 28 Mar 2027",
         "The nearest free place is 3 weeks later, from Mon 1 Mar 2027."),
        ("trip-1", 42, "“Lake” is in the way", "Moving it 5 weeks later would work."),
    ],
)  # fmt: skip
def test_a_move_onto_taken_days_is_refused_with_the_nearest_one_that_works(
    block_id: str, days: int, why: str, would_work: str
) -> None:
    refused = no(MoveBlock(block=block_id, days=days))
    assert why in refused.why and refused.would_work == would_work
    found = re.search(r"(\d+) (day|week)s? (later|earlier)", would_work)
    assert found is not None
    moves = int(found[1]) * (7 if found[2] == "week" else 1) * (1 if found[3] == "later" else -1)
    assert done(MoveBlock(block=block_id, days=moves)).text != YEAR


def test_a_block_with_no_free_place_is_told_so() -> None:
    long = block(Kind.BASE, 0, 49, id="base-1")
    before = draft(blocks=(long,))
    assert "make it shorter first" in no(MoveBlock(block="base-1", days=2), before).would_work


def test_a_block_does_not_move_onto_another_fixed_one() -> None:
    before = done(PinBlock(block="performance-1"))
    refused = no(MoveBlock(block="strength-1", days=7), before)
    assert (
        "your fixed block “performance-1” is in the way, Mon 15 Feb 2027 to Sun 7 Mar 2027"
        in refused.why
    )


def test_a_moved_trip_is_its_entry_with_other_days() -> None:
    after = done(MoveBlock(block="trip-1", days=-7))
    assert after.year.trips[0].first == day(14)
    assert lines_changed(YEAR, after.text) == (
        ["first = 2027-01-25       # the ferry is on Mondays", "last = 2027-01-31"],
        ["first = 2027-01-18       # the ferry is on Mondays", "last = 2027-01-24"],
    )
    assert not after.year.pins


def test_an_injury_is_moved_by_its_own_dates_only() -> None:
    for edit in (
        MoveBlock(block="injured-1", days=3),
        ResizeBlock(block="injured-1", last=date(2027, 3, 20)),
    ):
        refused = no(edit)
        assert "clinician" in refused.why and "edit change knee" in refused.would_work


# --- length ---------------------------------------------------------------------------------


def test_a_resized_block_is_a_pin_with_its_new_days() -> None:
    after = done(ResizeBlock(block="strength-1", first=day(33), last=day(45)))
    assert pins(after) == {"pin-strength-1": ("strength", day(33), 13)}


def test_a_block_may_be_one_day_long() -> None:
    after = done(ResizeBlock(block="strength-1", first=day(38), last=day(38)))
    assert pins(after) == {"pin-strength-1": ("strength", day(38), 1)}
    edit = edit_of(draft(), "shorten", {"block": "strength-1", "days": 6})
    assert pins(done(edit)) == {"pin-strength-1": ("strength", day(35), 1)}


def test_a_block_of_one_day_gets_no_shorter_and_no_second_part() -> None:
    one = draft(blocks=(block(Kind.REST, 30, 1, id="rest-1"),))
    with pytest.raises(EditRefused, match=r"only 1 day\. Another kind would work, or to join it"):
        edit_of(one, "shorten", {"block": "rest-1", "days": 1})
    refused = no(SplitBlock(block="rest-1", day=day(30), kind=Kind.BASE), one)
    assert refused.would_work == "A block of one day cannot be split."
    two = draft(blocks=(block(Kind.REST, 30, 2, id="rest-1"),))
    with pytest.raises(EditRefused, match=r"only 2 days\. At most 1 day fewer"):
        edit_of(two, "shorten", {"block": "rest-1", "days": 2})
    assert len(pins(done(SplitBlock(block="rest-1", day=day(31), kind=Kind.BASE), two))) == 2


def test_a_resize_over_taken_days_says_which_days_are_free() -> None:
    refused = no(ResizeBlock(block="base-1", last=day(22)))
    assert "“Isle” is in the way, Mon 25 Jan 2027 to Sun 31 Jan 2027" in refused.why
    assert refused.would_work == "Days from Mon 4 Jan 2027 to Sun 24 Jan 2027 would work."
    fair = '\n[[absence]]\nname = "Fair"\nfirst = 2027-01-04\nlast = 2027-01-23\n'
    one = draft(YEAR + fair, blocks=(block(Kind.BASE, 20, 1, id="base-1"),))
    refused = no(ResizeBlock(block="base-1", last=day(22)), one)
    assert refused.would_work == "Sun 24 Jan 2027 alone would work."


def test_a_block_cannot_end_before_it_begins_or_change_to_what_it_is() -> None:
    assert "ends before it begins" in no(ResizeBlock(block="base-1", last=day(-3))).why
    assert "already" in no(ResizeBlock(block="base-1", last=day(20))).why
    assert "already" in no(ResizeBlock(block="base-1")).why


def test_days_that_no_calendar_needs_are_refused_in_words() -> None:
    for block_id in ("strength-1", "trip-1"):
        assert "out of all bounds" in no(ResizeBlock(block=block_id, last=date.max)).why
        assert "your year begins" in no(ResizeBlock(block=block_id, first=date.min)).why
        assert "out of all bounds" in no(MoveBlock.model_construct(block=block_id, days=10**7)).why


@pytest.mark.parametrize(
    ("verb", "days", "at", "first", "length"),
    [
        ("lengthen", 5, "end", 35, 12), ("lengthen", 5, "start", 30, 12),
        ("shorten", 2, "end", 35, 5), ("shorten", 2, "start", 37, 5),
    ],
)  # fmt: skip
def test_lengthen_and_shorten_are_resizes(
    verb: str, days: int, at: str, first: int, length: int
) -> None:
    before = draft()
    edit = edit_of(before, verb, {"block": "strength-1", "days": days, "at": at})
    assert isinstance(edit, ResizeBlock)
    assert pins(done(edit, before)) == {"pin-strength-1": ("strength", day(first), length)}


def test_a_block_is_not_shortened_away() -> None:
    with pytest.raises(EditRefused, match=r"only 7 days\. At most 6 days fewer"):
        edit_of(draft(), "shorten", {"block": "strength-1", "days": 7})


def test_a_trip_gets_longer_by_its_entry() -> None:
    after = done(ResizeBlock(block="trip-1", last=day(29)))
    assert (after.year.trips[0].first, after.year.trips[0].last) == (day(21), day(29))


# --- split and join -------------------------------------------------------------------------


def test_a_split_block_is_two_pins_side_by_side() -> None:
    after = done(SplitBlock(block="base-1", day=day(14), kind=Kind.REST))
    assert pins(after) == {
        "pin-base-1": ("base", day(0), 14), "pin-base-1-part-2": ("rest", day(14), 7),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("n", "would_work"),
    [
        (0, "A day from Tue 5 Jan 2027 to Sun 24 Jan 2027 would work."),
        (21, "A day from Tue 5 Jan 2027 to Sun 24 Jan 2027 would work."),
    ],
)
def test_a_block_is_split_only_inside(n: int, would_work: str) -> None:
    assert no(SplitBlock(block="base-1", day=day(n), kind=Kind.REST)).would_work == would_work


def test_a_block_is_split_before_its_last_day_and_the_rest_keeps_its_place() -> None:
    after = done(SplitBlock(block="base-1", day=day(20), kind=Kind.REST))
    assert pins(after)["pin-base-1-part-2"] == ("rest", day(20), 1)
    again = done(SplitBlock(block="base-1", day=day(7), kind=Kind.STRENGTH), after)
    assert pins(again) == {
        "pin-base-1": ("base", day(0), 7), "pin-base-1-part-2": ("rest", day(20), 1),
        "pin-base-1-part-2-2": ("strength", day(7), 13),
    }  # fmt: skip


def test_two_blocks_of_one_kind_are_no_split_unless_the_rule_is_off() -> None:
    edit = SplitBlock(block="base-1", day=day(7), kind=Kind.BASE)
    assert "strength, performance, rest" in no(edit).would_work
    assert len(pins(done(edit, done(ChangeRule(code="order", on=False))))) == 2


def test_joined_blocks_are_one_pin_of_the_first_ones_kind() -> None:
    after = done(JoinBlocks(first="strength-1", second="rest-1"))
    assert pins(after) == {"pin-strength-1": ("strength", day(28), 14)}


def test_joining_takes_up_the_pins_of_both() -> None:
    before = done(PinBlock(block="rest-1"), done(PinBlock(block="strength-1")))
    after = done(JoinBlocks(first="rest-1", second="strength-1"), before)
    assert pins(after) == {"pin-rest-1": ("rest", day(28), 14)}


def test_only_neighbours_are_joined_and_the_neighbours_are_named() -> None:
    refused = no(JoinBlocks(first="strength-1", second="base-1"))
    assert refused.would_work == "Its neighbours would work: rest-1, performance-1."
    assert "No block" in no(JoinBlocks(first="base-1", second="rest-1")).would_work


# --- kind, pin, unpin -----------------------------------------------------------------------


def test_a_changed_kind_is_a_pin_of_that_kind() -> None:
    after = done(ChangeKind(block="rest-1", kind=Kind.BASE))
    assert pins(after) == {"pin-rest-1": ("base", day(28), 7)}
    assert "already" in no(ChangeKind(block="rest-1", kind=Kind.BASE), after).why
    assert "edit add" in no(ChangeKind(block="rest-1", kind=Kind.TRIP)).would_work


def test_pin_and_unpin_leave_the_text_as_it_was() -> None:
    fixed = done(PinBlock(block="rest-1"))
    assert "already, Mon 1 Feb 2027" in no(PinBlock(block="rest-1"), fixed).why
    assert done(UnpinBlock(block="rest-1"), fixed).text.rstrip() == YEAR.rstrip()


def test_unpinning_a_free_block_names_the_fixed_ones() -> None:
    assert no(UnpinBlock(block="rest-1")).would_work == "No block is."
    fixed = done(PinBlock(block="base-1"))
    assert no(UnpinBlock(block="rest-1"), fixed).would_work == "Fixed are: base-1."


@pytest.mark.parametrize(
    "edit",
    [
        PinBlock(block="trip-1"), UnpinBlock(block="trip-1"),
        ChangeKind(block="trip-1", kind=Kind.BASE),
        SplitBlock(block="trip-1", day=day(23), kind=Kind.BASE),
        JoinBlocks(first="trip-1", second="rest-1"), JoinBlocks(first="rest-1", second="trip-1"),
    ],
)  # fmt: skip
def test_given_blocks_are_changed_by_their_entries_only(edit: AnEdit) -> None:
    refused = no(edit)
    assert "given by your entry “Isle”" in refused.why
    assert "edit change isle" in refused.would_work


def test_a_block_whose_days_the_year_gave_away_is_not_fixed() -> None:
    refused = no(PinBlock(block="rest-1"), done(MoveBlock(block="trip-1", days=7)))
    assert "no longer free: “Isle” is in the way" in refused.why
    assert "seasonplan replan" in refused.would_work


def test_a_given_block_whose_entry_is_gone_asks_for_a_new_plan() -> None:
    refused = no(MoveBlock(block="trip-1", days=1), done(RemoveEntry(id="isle")))
    assert "seasonplan replan" in refused.would_work


def test_without_a_plan_or_with_a_wrong_id_blocks_are_refused() -> None:
    assert "no plan yet" in no(PinBlock(block="base-1"), replace(draft(), plan=None)).why
    assert no(PinBlock(block="base1")).would_work == "Did you mean base-1?"


def test_a_pin_id_that_an_entry_has_already_is_not_taken_twice() -> None:
    text = YEAR + (
        '[[absence]]\nname = "x"\nid = "pin-base-1"\nfirst = 2027-02-01\nlast = 2027-02-02\n'
    )
    assert list(pins(done(PinBlock(block="base-1"), draft(text)))) == ["pin-base-1-2"]


def test_the_maker_counts_days_as_these_tests_do() -> None:
    assert FIRST + timedelta(days=35) == day(35) == span(35, 7).first
