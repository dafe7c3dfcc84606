"""Does one edit in a folder and tells what was and what is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from seasonplan.cli.exits import Exit
from seasonplan.cli.options import now_of
from seasonplan.cli.screen import Screen, complain, write_json
from seasonplan.cli.where import anew

if TYPE_CHECKING:
    from seasonplan.edits import AnEdit, Draft, EditForm, TextChange
    from seasonplan.edits.forms import Line
    from seasonplan.rules.findings import Finding
    from seasonplan.workspace.desk import Desk


ON_SESSIONS = ("move-session", "skip", "add-session", "free-session")
SETTINGS = ("year", "climber", "climber.minutes", "before", "sessions", "calendar")
AT_ONCE = "It is so at once in `today`, `week`, the terminal and your calendars."


@contextmanager
def refusals(more: Callable[[], None] = lambda: None) -> Iterator[None]:
    """A refused edit ends the command: why, what would work and what `more` tells, on stderr."""
    from seasonplan.edits import EditRefused

    try:
        yield
    except EditRefused as no:
        complain(f"{no.why}\n{no.would_work}\nNothing was changed.")
        more()
        raise typer.Exit(Exit.BAD_INPUT) from None


def do(
    folder: Path, form: EditForm, said: Mapping[str, Any], *, plan: bool, today: date | None,
    plain: bool, as_json: bool,
) -> None:  # fmt: skip
    """One edit from what was typed, kept on disk; with `plan` the year is planned anew."""
    from seasonplan.edits import changes, edit_from_words
    from seasonplan.workspace.desk import Desk

    desk = Desk(folder)
    now = now_of(desk.year, today)
    before = desk.draft(today=now)
    broken = () if as_json or plan else _broken(desk, now)
    sessions = () if plan else desk.sessions_found(now) if form.verb in ON_SESSIONS else ()
    _refuse_silence(before, form, said, plain=plain)
    with refusals():
        said_edit = edit_from_words(before, form.verb, said)
        after = desk.change(_dated(said_edit, before, today=now), today=now)
    found = changes(before.text, after.text)
    wrote_diary = after.diary != before.diary
    on_sessions = form.verb in ON_SESSIONS and not plan
    against = _against(desk, now, before=sessions) if on_sessions else []
    if as_json and not plan:
        facts = {"changes": [change_facts(one) for one in found], "diary": wrote_diary}
        write_json(facts | ({"against": against} if on_sessions else {}))
        return
    screen = Screen.here(plain=plain)
    _tell(screen, found, wrote_diary=wrote_diary, aside=as_json)
    if plan:
        from seasonplan.cli import planning

        planning.plan(folder, cause=form.title.lower(), today=today, plain=plain, as_json=as_json)
    elif found and (desk.plan is None or desk.stale):
        _tell_broken(screen, desk, now, before=broken)
        for text in against:
            screen.narrate(f"! {text}", hang=2)
        _tell_outside(screen, before, after)
        _tell_idle(screen, before, after)
        _tell_unread(screen, desk, before)
        screen.narrate(_what_follows(desk))


def _what_follows(desk: Desk) -> str:
    """What has to be done for a change to show; nothing where sessions alone were changed."""
    if desk.plan is not None and not desk.lags:
        return AT_ONCE
    return f"Run {anew(planned=desk.plan is not None)} to let the plan follow."


def _refuse_silence(
    draft: Draft, form: EditForm, said: Mapping[str, Any], *, plain: bool
) -> None:  # fmt: skip
    """Ends the command where nothing is said of an entry, or no setting is named, with a list of
    what there is to say."""
    from seasonplan.edits import EditRefused

    if form.verb == "set" and said["path"] is None:
        with refusals(lambda: _tell_settings(plain=plain)):
            raise EditRefused("No setting is named.", "Say one of this list, and its value.")
    silent = ""
    with refusals():
        silent = _silent(draft, form, said)
    with refusals(lambda: _tell_lines(silent, form, plain=plain)):
        if silent:
            raise EditRefused(*_silence(silent))


def _silent(draft: Draft, form: EditForm, said: Mapping[str, Any]) -> str:
    """The section of the entry that nothing is said of; else empty."""
    from seasonplan.edits import EditRefused
    from seasonplan.edits.entries import known, place_of
    from seasonplan.edits.form_words import SECTIONS

    if form.verb not in ("add", "change") or said["values"]:
        return ""
    if form.verb == "change":
        return place_of(draft.year, said["id"])[0]
    section = str(said["section"])
    if section not in SECTIONS:
        raise EditRefused(f"There is no section {section!r}.", known(section, list(SECTIONS)))
    return section


def _silence(section: str) -> tuple[str, str]:
    from seasonplan.edits.form_words import SECTIONS

    return (
        f"Nothing is said of {SECTIONS[section][1]}.",
        "Say it as KEY=VALUE, such as first=2026-05-04, with keys from this list.",
    )


def _tell_lines(section: str, form: EditForm, *, plain: bool) -> None:
    """The keys of an entry, which are needed, and what they take."""
    from seasonplan.edits.forms import entry_lines

    lines = entry_lines(section) if section else ()
    add = form.verb == "add"
    _tell_keys(
        {
            line.key: (f"{'needed' if line.required and add else '':<6}", _takes(line))
            for line in lines
        },
        plain=plain,
    )


def _tell_settings(*, plain: bool) -> None:
    """Every setting and what it takes."""
    from seasonplan.edits.forms import setting_lines

    found = {f"{part}.{line.key}": line for part in SETTINGS for line in setting_lines(part)}
    _tell_keys({key: (_takes(line),) for key, line in found.items()}, plain=plain)


def _takes(line: Line) -> str:
    return line.help or ", ".join(line.choices)


def _tell_keys(told: Mapping[str, tuple[str, ...]], *, plain: bool) -> None:
    """A line for each key, what is said of it beside it."""
    screen, width = Screen.here(plain=plain), max(map(len, told), default=0)
    for key, columns in told.items():
        line = "  ".join((f"{key:<{width}}", *columns))
        hang = len(line) - len(columns[-1])
        screen.narrate(line, indent=2, hang=hang)


def _tell_idle(screen: Screen, before: Draft, after: Draft) -> None:
    """Rock that serves no goal since this edit, and how to let it serve one."""
    from seasonplan.body.almanac import Almanac
    from seasonplan.edits.serving import idle, idle_text, serving

    known = {rock.id for rock in idle(Almanac(before.year))}
    almanac = Almanac(after.year)
    for rock in idle(almanac):
        if rock.id not in known:
            goal = almanac.year.goals[0]
            ids = ",".join(serving(goal, rock, almanac).values["served_by"])
            screen.narrate(
                f"{idle_text(rock, almanac.year.goals)} Enter a goal there, or let one be done "
                f"there too: `seasonplan edit change {goal.id} served_by={ids}`."
            )


def _tell_unread(screen: Screen, desk: Desk, before: Draft) -> None:
    """What could not be read of busy calendars, where others are named since this edit."""
    from seasonplan.cli.planning import busy_told

    if desk.year.sessions.busy != before.year.sessions.busy:
        for text in busy_told(desk):
            screen.narrate(f"Note: {text}")


def _broken(desk: Desk, now: date) -> tuple[Finding, ...]:
    """The rules that the plan breaks as the hand left it: planning anew would have to answer.

    Not its sums: they are of sessions, which follow when it is planned.
    """
    from seasonplan.checker import check
    from seasonplan.rules.findings import SUMS

    if desk.plan is None or now >= desk.year.span.after:
        return ()
    found = check(desk.year, desk.blocks, book=desk.book, today=now)
    return tuple(one for one in found if one.strength == "hard" and one.code != SUMS)


def _tell_broken(
    screen: Screen, desk: Desk, now: date, *, before: tuple[Finding, ...]
) -> None:  # fmt: skip
    """The rules that are broken since this edit, and how many were before it."""
    from seasonplan.explain.breaks import sentence

    known = {(one.code, one.span) for one in before}
    found = _broken(desk, now)
    for finding in found:
        if (finding.code, finding.span) not in known:
            screen.narrate(f"! {sentence(finding, book=desk.book)}", hang=2)
    still = sum((finding.code, finding.span) in known for finding in found)
    if still:
        rules = "1 rule is broken" if still == 1 else f"{still} rules are broken"
        screen.narrate(f"As before this change, {rules}: `seasonplan check` tells.")


def _against(desk: Desk, now: date, *, before: tuple[Finding, ...]) -> list[str]:
    """The hard rules on sessions that a change of theirs goes against, `before` not yet found."""
    from seasonplan.explain.against import since_lines

    held = desk.standing.sessions if desk.standing else ()
    found = desk.sessions_found(now)
    return list(since_lines(before, found, held, book=desk.book, recipes=desk.recipes))


def _tell_outside(screen: Screen, before: Draft, after: Draft) -> None:
    """Entries that this edit put outside the year, where they change nothing."""
    from seasonplan.explain.outside import lies_outside, outside_text
    from seasonplan.explain.words import entry_name

    year = after.year
    for _, entry in (one for section in year.entries_by_section().values() for one in section):
        if entry != before.year.entry(entry.id) and lies_outside(entry, year):
            screen.narrate(outside_text([entry_name(year, entry.id)], year))


def _dated(edit: AnEdit, draft: Draft, *, today: date) -> AnEdit:
    """The edit; what is written into the diary has no day to come, unless the climber says so."""
    from seasonplan.edits import MarkDone, MarkMissed, marked_by

    if not isinstance(edit, (MarkDone, MarkMissed)):
        return edit
    return marked_by(draft, edit, today=today)


def change_facts(change: TextChange) -> dict[str, Any]:
    return {
        "how": change.how.value,
        "section": change.section or None,
        "about": change.about,
        "key": change.key or None,
        "was": change.was,
        "now": change.now,
    }


def _tell(
    screen: Screen, found: tuple[TextChange, ...], *, wrote_diary: bool, aside: bool
) -> None:  # fmt: skip
    """The changes, one on a line; on stderr (`aside`) where stdout is for a program."""
    from seasonplan.explain.changes import change_text

    texts = [change_text(change) for change in found]
    if wrote_diary:
        texts.append("Written into the diary.")
    for text in texts or ["Nothing changes: it was so already."]:
        if aside:
            screen.narrate(text)
        else:
            screen.say(text, hang=2)
