"""What is told of a day: the chance of good rock, alike everywhere; days of a trip without any."""

from __future__ import annotations

from folder_maker import YEAR, revision, session
from plan_maker import block, day

from seasonplan.explain.agenda import Agenda
from seasonplan.recipes import standard_recipes
from seasonplan.vocabulary import Kind
from seasonplan.year.toml import read_year

BUSY = YEAR.replace("last = 2027-02-21", "last = 2027-02-21\n\n[[absence]]\n{}")
SHOP = 'name = "Shop"\nfirst = 2027-02-01\nlast = 2027-02-07\nleft = {}\n'
SATURDAY = 33  # 6 February, in the season at Karst


def test_a_week_and_the_year_tell_the_same_chance_of_rock_while_there_is_little_time() -> None:
    """What an absence leaves says nothing of the weather; where it leaves nothing none is told."""
    for left, says in ((0.4, True), (0.0, False)):
        year = read_year(BUSY.format(SHOP.format(left)), file="year.toml")
        told = Agenda(year, revision(()), book=standard_recipes()).on(day(SATURDAY)).remarks
        assert ("rock at Karst: good day 40 %" in told) is says
        assert not any("16 %" in remark for remark in told)


def test_a_day_in_the_middle_of_a_trip_is_none_to_travel() -> None:
    """The trip is seven days from 8 February, with no days of travel entered."""
    year = read_year(YEAR, file="year.toml")
    walk = session("walk", "aerobic", 0, "18:00", 60)
    agenda = Agenda(
        year, revision([walk], blocks=(block(Kind.TRIP, 35, 7, entry="isle"),)), book={}
    )
    told = [agenda.on(day(n)).rest for n in range(35, 42)]
    ends = "On the trip “Isle”: a day to travel or to rest."
    assert told == [ends, *["On the trip “Isle”: a day to rest."] * 5, ends]


def test_a_week_on_a_trip_does_not_name_the_trip_again_after_each_day_of_rest() -> None:
    """Its block does; a clock that is another one is told all the same."""
    year = read_year(YEAR, file="year.toml")
    climb = session("climb", "easy-rock-day", 36, "10:00", 120, rock="isle")
    plan = revision([climb], blocks=(block(Kind.TRIP, 35, 7, entry="isle"),))
    for zone in ("Atlantic/Madeira", None):
        at_home = (year.trips[0].model_copy(update={"time_zone": zone}),)
        known = year.model_copy(update={"trips": at_home})
        said = Agenda(known, plan, book=standard_recipes()).on(day(36)).remarks
        assert any("trip “Isle”" in remark for remark in said) is (zone is not None)
