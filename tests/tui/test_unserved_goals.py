"""A goal that nothing serves: said on its slip, on its lane, and when it is entered."""

from __future__ import annotations

from pathlib import Path

from stage import bench, demo, main, opened, point, press, screen_text, slip, told, until

from seasonplan.edits import AddEntry, ChangeEntry, RemoveEntry
from seasonplan.edits.serving import idle
from seasonplan.explain.notes import warnings
from seasonplan.explain.unserved import unserved
from tui.ask import Choose
from tui.year.lanes import NO_DAY

TRAVERSE = {
    "name": "Roof crack", "place": "Nowhere", "discipline": "boulder", "grade": "7A",
}  # fmt: skip


async def test_a_goal_that_nothing_serves_is_told_of_when_it_is_entered(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 40)) as pilot:
        assert main(pilot).change(AddEntry(section="goal", values=TRAVERSE))
        await pilot.pause()
        missing = "no season, window or climbing trip at “Nowhere” for boulder"
        assert f"Nothing serves “Roof crack”: {missing}" in told(pilot)
        await pilot.pause()
        point(pilot, "roof-crack")
        await pilot.pause()
        assert missing in slip(pilot) and "page 3" in slip(pilot)
        assert slip(pilot).index(missing) < slip(pilot).index("Priority")
        assert "Predicted state" not in slip(pilot)
        assert NO_DAY in screen_text(pilot) and "! Roof crack" in screen_text(pilot)


async def test_a_goal_that_loses_its_season_is_told_of_too_and_only_once(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 40)) as pilot:
        assert unserved(bench(pilot).sheet.almanac) == {}
        for season in ("larchfold-spring", "larchfold-autumn"):
            assert main(pilot).change(RemoveEntry(id=season))
        await pilot.pause()
        assert told(pilot).count("Nothing serves “A handful") == 1
        assert main(pilot).change(ChangeEntry(id="trade-fair", values={"note": "x"}))
        await pilot.pause()
        assert told(pilot).count("Nothing serves") == 2


def test_the_slip_and_the_note_of_the_plan_say_it_in_the_same_words(tmp_path: Path) -> None:
    from seasonplan.explain.slip import goal_slip
    from seasonplan.workspace.desk import Desk

    desk = Desk(demo(tmp_path))
    desk.change(AddEntry(section="goal", values=TRAVERSE))
    goal = desk.year.goals[-1]
    made = goal_slip(goal, desk.year, found=None, at=desk.year.span, form=0.2)
    assert made.why == (f"! {warnings(desk.year)[0]}",)


async def test_rock_that_serves_no_goal_says_so_and_offers_one(tmp_path: Path) -> None:
    rock = {
        "name": "Second crag", "place": "Saltmere", "discipline": "sport", "chance": 0.5,
        "first": "05-01", "last": "06-30",
    }  # fmt: skip
    async with opened(demo(tmp_path), size=(120, 40)) as pilot:
        assert main(pilot).change(AddEntry(section="season", values=rock))
        await until(pilot, lambda: isinstance(pilot.app.screen, Choose))
        asked = pilot.app.screen
        assert isinstance(asked, Choose)
        assert "“Second crag” serves no goal: none is at “Saltmere” for sport" in asked.about
        await press(pilot, "down", "enter")
        almanac = bench(pilot).sheet.almanac
        (served,) = [goal for goal in almanac.year.goals if "second-crag" in goal.served_by]
        assert len(served.served_by) > 1  # what served it before still does
        assert idle(almanac) == ()
