"""The chance of a good day on rock is told alike everywhere."""

from __future__ import annotations

from folder_maker import YEAR, revision
from plan_maker import day

from seasonplan.explain.agenda import Agenda
from seasonplan.recipes import standard_recipes
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
