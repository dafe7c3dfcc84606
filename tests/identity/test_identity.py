"""Which block is which after replanning: ids stay, are readable, and never name another block."""

from __future__ import annotations

import random
import re
from datetime import timedelta

from draft_maker import STAMP, plan, revision
from plan_maker import block, exchanged, given

from seasonplan.edits import EditRefused
from seasonplan.identity import all_ids, carried, pin_id
from seasonplan.plan import Block, Plan
from seasonplan.planning import history
from seasonplan.vocabulary import CHOSEN, Kind, Phase


def named(new: list[Block], old: list[Block], used: set[str] = frozenset()) -> list[str]:  # type: ignore[assignment]
    ids = {one.id for one in old}
    return [one.id for one in carried(new, old=old, used=ids | used)]


def fresh(kind: Kind, first: int, days: int, **fields: object) -> Block:
    """A block as the planner hands it over, without a name."""
    return block(kind, first, days, **({"id": "-"} | fields))


# --- what is carried ------------------------------------------------------------------------


def test_the_same_blocks_keep_their_ids() -> None:
    old = [
        block(Kind.BASE, 0, 28, id="base-7"), block(Kind.STRENGTH, 28, 21, id="strength-2"),
        block(Kind.BASE, 49, 28, id="base-3"),
    ]  # fmt: skip
    assert named([exchanged(one, id="-") for one in old], old) == ["base-7", "strength-2", "base-3"]


def test_a_first_plan_counts_each_kind_from_one() -> None:
    new = [fresh(Kind.BASE, 0, 7), fresh(Kind.REST, 7, 7), fresh(Kind.BASE, 14, 7)]
    assert named(new, []) == ["base-1", "rest-1", "base-2"]


def test_a_block_is_the_one_of_its_kind_with_most_days_in_common() -> None:
    old = [block(Kind.BASE, 0, 14, id="base-1"), block(Kind.BASE, 21, 28, id="base-2")]
    assert named([fresh(Kind.BASE, 10, 20)], old) == ["base-2"]
    assert named([fresh(Kind.BASE, 2, 21)], old) == ["base-1"]


def test_another_kind_on_the_same_days_is_another_block() -> None:
    old = [block(Kind.BASE, 0, 28, id="base-1")]
    assert named([fresh(Kind.STRENGTH, 0, 28)], old) == ["strength-1"]


def test_a_block_that_moved_up_to_four_weeks_is_still_itself() -> None:
    old = [block(Kind.REST, 0, 7, id="rest-4")]
    assert named([fresh(Kind.REST, 28, 7)], old) == ["rest-4"]
    assert named([fresh(Kind.REST, 29, 7)], old) == ["rest-5"]


def test_blocks_that_all_move_keep_their_order() -> None:
    old = [block(Kind.REST, 20 * n, 5, id=f"rest-{n + 1}") for n in range(4)]
    new = [fresh(Kind.REST, 20 * n + 9, 5) for n in range(4)]
    assert named(new, old) == ["rest-1", "rest-2", "rest-3", "rest-4"]


def test_of_two_parts_of_a_block_the_longer_one_keeps_the_id() -> None:
    old = [block(Kind.BASE, 0, 42, id="base-1")]
    new = [fresh(Kind.BASE, 0, 14), fresh(Kind.REST, 14, 7), fresh(Kind.BASE, 21, 21)]
    assert named(new, old) == ["base-2", "rest-1", "base-1"]


def test_a_given_block_is_that_of_its_entry_however_far_it_moved() -> None:
    old = [given(Kind.TRIP, 0, 7, entry="isle").model_copy(update={"id": "trip-1"})]
    assert named([given(Kind.TRIP, 200, 9, entry="isle")], old) == ["trip-1"]
    assert named([given(Kind.TRIP, 200, 9, entry="coast")], old) == ["trip-2"]


def test_pieces_of_one_entry_keep_apart() -> None:
    """A trip cut in two by an injury; then the first piece goes."""
    old = [
        given(Kind.TRIP, 0, 3, entry="isle").model_copy(update={"id": "trip-1"}),
        given(Kind.TRIP, 9, 5, entry="isle").model_copy(update={"id": "trip-2"}),
    ]
    assert named([given(Kind.TRIP, 9, 5, entry="isle")], old) == ["trip-2"]


def test_each_phase_of_an_injury_is_a_block_of_its_own() -> None:
    phases = (Phase.EASY, Phase.BUILDING)
    old = [
        given(Kind.RETURN, 7 * n, 7, entry="knee", phase=phase).model_copy(
            update={"id": f"return-{n + 1}"}
        )
        for n, phase in enumerate(phases)
    ]
    new = [given(Kind.RETURN, 3 + 9 * n, 9, entry="knee", phase=p) for n, p in enumerate(phases)]
    assert named(new, old) == ["return-1", "return-2"]


# --- pins -----------------------------------------------------------------------------------


def test_a_block_pinned_far_away_keeps_its_id() -> None:
    old = [block(Kind.STRENGTH, 0, 21, id="strength-1"), block(Kind.BASE, 21, 28, id="base-1")]
    moved = fresh(Kind.STRENGTH, 100, 21, entry=pin_id("strength-1"), pinned=True)
    other = fresh(Kind.STRENGTH, 0, 21)
    assert named([other, moved], old) == ["strength-2", "strength-1"]


def test_a_pin_that_made_the_block_another_kind_gives_a_new_id() -> None:
    old = [block(Kind.REST, 0, 7, id="rest-1")]
    assert named([fresh(Kind.BASE, 0, 7, entry=pin_id("rest-1"), pinned=True)], old) == ["base-1"]


def test_a_pin_of_any_name_keeps_its_block() -> None:
    old = [block(Kind.BASE, 0, 21, id="base-1", entry="hard-weeks", pinned=True)]
    assert named([fresh(Kind.BASE, 90, 21, entry="hard-weeks", pinned=True)], old) == ["base-1"]


def test_an_unpinned_block_that_stays_keeps_its_id() -> None:
    old = [block(Kind.BASE, 0, 21, id="base-1", entry=pin_id("base-1"), pinned=True)]
    assert named([fresh(Kind.BASE, 3, 21)], old) == ["base-1"]


# --- never again ----------------------------------------------------------------------------


def test_an_id_once_used_is_never_used_again() -> None:
    old = [block(Kind.BASE, 0, 7, id="base-2")]
    assert named([fresh(Kind.BASE, 300, 7)], old, {"base-9", "rest-3"}) == ["base-10"]


def any_blocks(rng: random.Random) -> list[Block]:
    """Blocks side by side, a few of them given or pinned."""
    found, day = [], 0
    while day < 200:
        days = rng.choice((5, 7, 14, 21))
        kind = rng.choice((*CHOSEN, *CHOSEN, Kind.TRIP))
        if kind is Kind.TRIP:
            entry = rng.choice(("isle", "coast"))
            found.append(given(kind, day, days, entry=entry).model_copy(update={"id": "-"}))
        else:
            entry = rng.choice((None, None, None, f"pin-{kind.value}-{rng.randint(1, 4)}"))
            found.append(fresh(kind, day, days, entry=entry, pinned=entry is not None))
        day += days + rng.choice((0, 0, 3))
    return found


def shaken(blocks: list[Block], rng: random.Random) -> list[Block]:
    """The same blocks moved a little, some gone."""
    shift = timedelta(days=rng.randint(-20, 20))
    return [
        fresh(one.kind, (one.span.first + shift - FIRST).days, one.span.length, entry=one.entry)
        for one in blocks
        if rng.random() < 0.8
    ]


FIRST = block(Kind.BASE, 0, 1).span.first


def test_over_many_revisions_and_undos_no_id_ever_names_another_kind_or_block() -> None:
    """The histories of 40 plans; every id is looked at in every revision."""
    checked = undone = kept = 0
    for number in range(40):
        rng = random.Random(number)
        made: Plan | None = None
        for _ in range(12):
            if made is not None and rng.random() < 0.4:
                step = rng.choice((history.undo, history.undo, history.redo))
                try:
                    made, _ = step(made, stamp=STAMP)
                    undone += 1
                except EditRefused:
                    pass
                continue
            current = list(made.current.blocks) if made else []
            new = shaken(current, rng) if current and rng.random() < 0.7 else any_blocks(rng)
            before = all_ids(made)
            blocks = carried(new, old=current, used=before)
            ids = [one.id for one in blocks]
            assert len(set(ids)) == len(ids)
            was = {one.id: one for one in current}
            for one in blocks:
                if one.id in was:
                    assert one.kind is was[one.id].kind
                    kept += 1
                else:
                    assert one.id not in before
                assert re.fullmatch(rf"{one.kind.value}-\d+", one.id)
                checked += 1
            last = revision(len(made.revisions) + 1 if made else 1, blocks=blocks)
            made = plan(*(made.revisions if made else ()), last)
    assert checked > 2000 and kept > 1000 and undone > 40


def test_carrying_is_a_matter_of_the_blocks_alone() -> None:
    """The same blocks give the same ids, whatever order they come in."""
    checked = 0
    for number in range(30):
        rng = random.Random(f"order {number}")
        old = list(carried(any_blocks(rng), old=[], used=[]))
        new = shaken(old, rng)
        ids = {one.span: name for one, name in zip(new, named(new, old), strict=True)}
        mixed = rng.sample(old, len(old))
        again = {one.span: name for one, name in zip(new, named(new, mixed), strict=True)}
        assert ids == again
        checked += len(ids)
    assert checked > 200
