"""The best year with one block changed: against years planned anew, and against every order."""

from __future__ import annotations

from functools import cache

import pytest
from autumn import year_of
from every_year import Row, paths
from plan_maker import a_year, goal, season, trip

from seasonplan.days import Span
from seasonplan.plan import Block
from seasonplan.planner.candidates import Variant
from seasonplan.planner.grid import Column
from seasonplan.planner.prices import Other, PricedYear, Way
from seasonplan.planner.search import Search
from seasonplan.planner.values import PARTS
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import Kind
from seasonplan.year import Before, Pin, Year

NAME = "twelve-weeks"
YEAR = year_of(NAME)
SMALL = a_year(
    10, seasons=[season(35, 21)], goals=[goal(priority=1)], trips=[trip(14, 6)],
    before=Before(weekly_load=(2000.0,) * 6),
)  # fmt: skip


@cache
def searched(name: str) -> tuple[Search, tuple[Block, ...]]:
    """A search of a year, and its best plan with names."""
    year = SMALL if name == "small" else year_of(name)
    search = Search(year, book=book_of(year))
    best = search.prices.best()
    assert best is not None
    named = (Block(**{**dict(b), "id": f"b-{n}"}) for n, b in enumerate(search.blocks(best)))
    return search, tuple(named)


def others_of(name: str) -> list[Other]:
    search, blocks = searched(name)
    return [one for block in blocks for one in PricedYear(search, blocks).others(block)]


def worth(year: Year, *, without: Block | None = None) -> float | None:
    """What the best plan of a year is worth, searched anew, but for what is worth nothing;
    `without` a block nothing of its kind lies on its days."""
    search = Search(year, book=book_of(year))
    if without is not None:
        search.candidates.all = tuple(
            one for one in search.candidates.all
            if one.kind is not without.kind or not one.span.meet(without.span)
        )  # fmt: skip
    best = search.prices.best()
    return best.worth / PARTS if best is not None else None


# --- against the year planned anew ----------------------------------------------------------------


@pytest.mark.parametrize(("name", "every", "least"), [(NAME, 1, 3), ("autumn", 6, 4)])
def test_each_price_is_that_of_the_year_planned_with_the_block_so(
    name: str, every: int, least: int
) -> None:
    """Fixed by a pin and planned anew, the year is worth just what was said."""
    year, compared = year_of(name), 0
    plan = worth(year)
    assert plan is not None
    # light weeks of a season are free only without a pin, and rests train nothing most
    fixable = [
        one for one in others_of(name)
        if one.kind in (Kind.BASE, Kind.STRENGTH) and one.way is not Way.OUT
    ]  # fmt: skip
    for one in fixable[::every]:
        pin = Pin(
            name="so", kind=one.kind, first=one.span.first, last=one.span.last,
            emphasis=one.emphasis,
        )  # fmt: skip
        points = worth(year.with_fields(pins=(*year.pins, pin)))
        assert points is not None
        assert points - plan == pytest.approx(one.points, abs=1e-5)
        compared += 1
    assert compared >= least


def test_a_year_without_a_block_is_the_best_one_in_which_its_kind_is_banned_there() -> None:
    (search, blocks), compared = searched(NAME), 0
    plan = worth(YEAR)
    assert plan is not None
    for block in blocks:
        if not block.kind.chosen:
            continue
        points = worth(YEAR, without=block)
        others = PricedYear(search, blocks).others(block)
        out = next((one for one in others if one.way is Way.OUT), None)
        assert (points is None) is (out is None)
        if points is not None and out is not None:
            assert points - plan == pytest.approx(out.points, abs=1e-5)
            compared += 1
    assert compared >= 2


def test_no_other_year_is_better_than_the_best_one() -> None:
    others = others_of("autumn")
    assert len(others) > 25
    assert all(one.points <= 1e-9 for one in others)


def test_each_way_keeps_to_its_name() -> None:
    seen, (search, blocks) = set(), searched("autumn")
    for was in blocks:
        for one in PricedYear(search, blocks).others(was):
            seen.add(one.way)
            first = (one.span.first - was.span.first).days
            after = (one.span.after - was.span.after).days
            assert {
                Way.EARLIER: one.kind is was.kind and first < 0 and after < 0,
                Way.LATER: one.kind is was.kind and first > 0 and after > 0,
                Way.LONGER: one.kind is was.kind and first <= 0 <= after,
                Way.SHORTER: one.kind is was.kind and after <= 0 <= first,
                Way.KIND: one.kind is not was.kind and one.span.meet(was.span) is not None,
                Way.EMPHASIS: (one.kind, one.span) == (was.kind, was.span)
                and one.emphasis is not was.emphasis,
                Way.OUT: one.span == was.span,
            }[one.way]
    assert seen == set(Way)


# --- against every order --------------------------------------------------------------------------


@cache
def every_row() -> dict[Row, int]:
    """Every order of the small year, and what it is worth."""
    search, _ = searched("small")
    return dict(paths(search.graph, [worth for _, worth in search.best_variants]))


def way_of(block: Block, column: Column) -> Way | None:
    """What a candidate is against a block, by single days."""
    mine, own = set(block.span.days()), set(column.span.days())
    if not mine & own or (column.kind, column.span) == (block.kind, block.span):
        return None
    if column.kind is not block.kind:
        return Way.KIND if len(mine & own) * 2 >= len(mine) else None
    if mine < own:
        return Way.LONGER
    if own < mine:
        return Way.SHORTER
    return Way.EARLIER if min(own) < min(mine) else Way.LATER


def by_hand(block: Block) -> dict[Way, int]:
    """The best worth of each way to change a block, over all orders."""
    search, _ = searched("small")
    columns, found = search.candidates.all, dict[Way, int]()
    for row, worth in every_row().items():
        for number in row:
            column = columns[number]
            way = way_of(block, column)
            if way is not None:
                found[way] = max(found.get(way, worth), worth)
            if (column.kind, column.span) == (block.kind, block.span):
                rest = worth - search.best_variants[number][1]
                for variant, own in search.variants(number):
                    if variant.emphasis is not block.emphasis:
                        best = found.get(Way.EMPHASIS, rest + own)
                        found[Way.EMPHASIS] = max(best, rest + own)
        kinds = {columns[n].kind for n in row if columns[n].span.meet(block.span)}
        if block.kind not in kinds:
            found[Way.OUT] = max(found.get(Way.OUT, worth), worth)
    return found


def test_every_way_to_change_a_block_is_the_best_of_all_orders() -> None:
    search, blocks = searched("small")
    best = search.prices.best()
    assert best is not None and best.worth == max(every_row().values())
    compared = 0
    for block in blocks:
        if not block.kind.chosen:
            continue
        told = {one.way: one.points for one in PricedYear(search, blocks).others(block)}
        expected = {way: (w - best.worth) / PARTS for way, w in by_hand(block).items()}
        assert told == pytest.approx(expected)
        compared += len(told)
    assert compared >= 12 and len(every_row()) > 100


def held(search: Search, chosen: list[tuple[int, Variant]]) -> tuple[int, float]:
    amounts = [search.amount(search.candidates.all[n], variant) for n, variant in chosen]
    return sum(one.rock_days for one in amounts), sum(one.good_days for one in amounts)


def test_the_days_on_rock_of_a_change_are_those_of_such_a_year() -> None:
    """Of a year that has it: the change itself in its variant, all others in their best."""
    search, blocks = searched("small")
    columns, variants = search.candidates.all, [variant for variant, _ in search.best_variants]
    best = search.prices.best()
    assert best is not None
    plan = held(search, [(n, variants[n]) for n in best.columns])
    for block in (one for one in blocks if one.kind.chosen):
        for one in PricedYear(search, blocks).others(block):
            if one.way in (Way.OUT, Way.EMPHASIS):
                continue
            alike = [
                held(search, [(n, variants[n]) for n in row])
                for row in every_row()
                if any((columns[n].kind, columns[n].span) == (one.kind, one.span) for n in row)
            ]
            more = (one.rock_days + plan[0], one.good_days + plan[1])
            assert any(more == pytest.approx(each) for each in alike)


def test_a_block_of_a_plan_is_worth_nothing_more_and_one_that_no_year_has_is_none() -> None:
    search, blocks = searched("small")
    priced, best = PricedYear(search, blocks), max(every_row().values())
    for block in (one for one in blocks if one.kind.chosen):
        assert priced.with_block(block) == 0.0
    known = {(c.kind, c.span): n for n, c in enumerate(search.candidates.all)}
    seen = 0
    for (kind, span), number in known.items():
        through = [worth for row, worth in every_row().items() if number in row]
        emphasis = search.best_variants[number][0].emphasis
        one = Block(id="x", kind=kind, span=span, weeks=(), emphasis=emphasis)
        told = priced.with_block(one)
        seen += told is not None
        assert told == (pytest.approx((max(through) - best) / PARTS) if through else None)
    assert seen > 20
    off = Span(SMALL.span.first, SMALL.span.after)
    assert priced.with_block(Block(id="x", kind=Kind.REST, span=off, weeks=())) is None


def test_a_plan_that_is_no_order_of_the_year_is_not_priced() -> None:
    search, blocks = searched("small")
    assert PricedYear(search, blocks).fits
    chosen = [one for one in blocks if one.kind.chosen]
    other = Block(**{**dict(chosen[0]), "kind": Kind.STRENGTH})  # a trip follows
    for broken in ([other, *blocks[1:]], list(blocks[:-1]), [*blocks[:1], *blocks]):
        priced = PricedYear(search, broken)
        assert not priced.fits and priced.others(broken[0]) == []
    twice = PricedYear(search, list(blocks[:-1]))  # priced against the best year instead
    assert min(abs(points) for _, _, points, *_ in twice.stands(chosen[0].kind)) == 0.0


def test_the_year_through_a_block_has_it_and_is_worth_what_is_said() -> None:
    search, blocks = searched("small")
    priced, best = PricedYear(search, blocks), max(every_row().values())
    for kind in (Kind.BASE, Kind.PERFORMANCE):
        for number, span, points, days, _ in list(priced.stands(kind))[::5]:
            year = priced.year_through(number)
            assert any((one.kind, one.span) == (kind, span) for one in year)
            assert points == pytest.approx(
                (max(w for row, w in every_row().items() if number in row) - best) / PARTS
            )
            rock = priced.rock_days_through(number)
            plan = priced.rock_days_through(search.prices.best().columns[0])  # type: ignore[union-attr]
            assert len(rock) - len(plan) == days
    stood = {one.span for one in blocks if one.kind is Kind.BASE}
    assert priced.spans_of(Kind.BASE) == stood
    assert priced.best_points == pytest.approx(best / PARTS)


def test_from_today_on_only_the_days_left_are_left_out() -> None:
    search, blocks = searched("small")
    priced = PricedYear(search, blocks)
    for block in (one for one in blocks if one.kind.chosen):
        for days in (0, block.span.length // 2):
            today = list(block.span.days())[days]
            outs = [one for one in priced.others(block, today=today) if one.way is Way.OUT]
            left = Span(today, block.span.after)
            touching = {
                n for n, column in enumerate(search.candidates.all)
                if column.kind is block.kind and column.span.meet(left)
            }  # fmt: skip
            free = [worth for row, worth in every_row().items() if not touching & set(row)]
            assert [one.points for one in outs] == (
                [pytest.approx((max(free) - max(every_row().values())) / PARTS)] if free else []
            )
        over = [one.way for one in priced.others(block, today=block.span.after)]
        assert Way.OUT not in over


def test_a_block_without_which_there_is_no_year_cannot_be_left_out() -> None:
    """A block that is fixed: of other ways none is left either."""
    stands = next(b for b in searched("small")[1] if b.kind is Kind.PERFORMANCE)
    days = {"first": stands.span.first, "last": stands.span.last}
    season_ = Pin(name="So", kind="performance", **days)
    year = SMALL.with_fields(pins=(season_,))
    search = Search(year, book=book_of(year))
    best = search.prices.best()
    assert best is not None
    blocks = [Block(**{**dict(b), "id": f"b-{n}"}) for n, b in enumerate(search.blocks(best))]
    fixed = next(one for one in blocks if one.pinned)
    ways = {one.way for one in PricedYear(search, blocks).others(fixed)}
    assert ways == {Way.EMPHASIS}
