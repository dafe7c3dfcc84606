"""An illness is no hurt part: nowhere is it told as one."""

from __future__ import annotations

from folder_maker import YEAR, revision, session
from hurt import hurt_text
from plan_maker import block, day, span

from seasonplan.explain.agenda import Agenda
from seasonplan.explain.free_time import week_text
from seasonplan.explain.notes import block_note
from seasonplan.explain.sessions import why_text
from seasonplan.explain.week import aim_text
from seasonplan.recipes import standard_recipes
from seasonplan.rules.statements import standard_book
from seasonplan.vocabulary import Kind
from seasonplan.year.toml import read_year

WALK = session("walk", "aerobic", 5, "10:00", 60, block="injured-1")


def texts(part: str) -> list[str]:
    """All that is told of days off because of it: of their week, its block and a session."""
    lines = hurt_text("Bad luck", part, *(str(day(n)) for n in (0, 7, 12, 21)))
    year = read_year(YEAR + lines, file="year.toml")
    off = block(Kind.INJURED, 0, 7, id="injured-1", entry="bad-luck")
    plan = revision([WALK], blocks=(off,))
    agenda = Agenda(year, plan, book=standard_recipes())
    return [
        week_text(span(0, 7), plan, year),
        aim_text(agenda, agenda.on(day(1))),
        why_text(WALK, off, year),
        block_note(off, year, book=standard_book()),
    ]


def test_an_illness_is_not_told_as_a_hurt_part() -> None:
    assert all("the hurt part" in text for text in texts("finger"))
    told = texts("other")
    assert not any("hurt part" in text for text in told)
    assert told[0].endswith("you train 1 h: nothing is trained until it is better.")
    assert told[1] == "This week is for getting well."
