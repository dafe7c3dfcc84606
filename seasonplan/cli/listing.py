"""Lists under the drawing, and the plain form of everything: blocks, rock, goals."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from seasonplan.cli.screen import Screen
from seasonplan.days import Span, day_month_text
from seasonplan.explain import left_out, notes, others_told
from seasonplan.explain.prospects import outlook_lines
from seasonplan.explain.sessions import shortfalls_text
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.tested import rating_lines
from seasonplan.explain.words import block_name, emphasis_text, entry_name, length_text, span_text
from seasonplan.plan import Block, Revision, Shortfall
from seasonplan.views import RockView, YearView
from seasonplan.year import Year

WIDE = 72


def tell_blocks(screen: Screen, year: Year, blocks: Sequence[Block]) -> None:
    """Every block with its id, days, length and load."""
    if screen.plain:
        for block in blocks:
            name = block_name(block, year)
            screen.say(f"{block.id}: {name[0].lower()}{name[1:]}, {_block_facts(block)}.")
        return
    screen.head("Blocks")
    idle = max((len(block.id) for block in blocks), default=0)
    for block in blocks:
        sign = SIGNS[block.kind]
        mark = screen.paint(sign.mark(unicode=screen.unicode), sign.colour)
        name = screen.paint(block.id.ljust(idle), bold=True)
        if screen.width >= WIDE:
            told = f"{_dates(block.span)}  {_measures(block)}"
            room = screen.width - idle - len(told) - 4
            given = screen.clean(_given_by(block, year))
            screen.draw(f"{mark} {name}  {told}{given if len(given) <= room else ''}".rstrip())
        else:
            screen.draw(f"{mark} {name}  {_dates(block.span)}")


def _block_facts(block: Block) -> str:
    facts = f"{span_text(block.span)}, {length_text(block.span.length)}"
    return facts + (f", load {block.load:.0f}" if block.load >= 1 else ", no training")


def _dates(span: Span) -> str:
    """Such as " 5 Jan to 13 Feb", aligned."""
    return f"{day_month_text(span.first):>6} to {day_month_text(span.last):>6}"


def _measures(block: Block) -> str:
    load = f"{block.load:>6.0f}" if block.load >= 1 else "     -"
    told = emphasis_text(block.kind, block.emphasis)
    fixed = ", ".join(filter(None, (told, "fixed by you" if block.pinned else "")))
    return f"{length_text(block.span.length):<15} load {load}  {fixed}"


def _given_by(block: Block, year: Year) -> str:
    """The climber's own name for what gave a block."""
    return entry_name(year, block.entry) if block.entry and not block.kind.chosen else ""


def tell_rock(screen: Screen, view: YearView) -> None:
    """Every spell of rock: where, when, and how likely a good day is."""
    if view.rock and not screen.plain:
        screen.head("Rock in condition")
    for spell in view.rock:
        screen.say(_rock_text(spell, plain=screen.plain), hang=2)


def _rock_text(spell: RockView, *, plain: bool) -> str:
    lead = "Rock in condition: " if plain else ""
    discipline = f", {spell.discipline}" if spell.discipline else ""
    low, high = (f"{100 * end(spell.chances):.0f}" for end in (min, max))
    return (
        f"{lead}{spell.name} ({spell.place}{discipline}), {span_text(spell.span)}, "
        f"good day {low if low == high else f'{low} to {high}'} %"
    )


def tell_worth(screen: Screen, year: Year, revision: Revision) -> None:
    """What the plan makes of each goal, and how good it is proven to be."""
    if not screen.plain:
        screen.head("What it is worth")
    screen.tell(outlook_lines(revision, year))
    screen.say(notes.proof_text(revision.proof))
    if revision.others and revision.proof.optimal:
        screen.say(others_told.near_text(revision.others))
    screen.tell(rating_lines(revision, year))


def tell_left_out(screen: Screen, year: Year, revision: Revision, *, since: date) -> None:
    """The climber's own sessions from a day on that no plan may hold, and why."""
    told = left_out.lines_since(year, revision, since=since)
    screen.tell(told, head="" if screen.plain else "Sessions left out")


def tell_shortfalls(
    screen: Screen, shortfalls: Sequence[Shortfall], *, also: Sequence[str] = ()
) -> None:
    """What could not be fitted, and why, `also` in sentences; nothing where all is."""
    told = [*shortfalls_text(shortfalls), *also]
    screen.tell(told, head="" if screen.plain else "What does not fit")
