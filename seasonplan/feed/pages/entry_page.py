"""The page of one event, with the whole how-to of a session and the form to answer it; and the
pages of a month, for a place where nothing can be asked. No script.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from html import escape

from seasonplan.explain.sessions import ANEW, EFFORTS
from seasonplan.explain.week import ASKED
from seasonplan.feed.entries import Entry
from seasonplan.feed.pages.answers import DONE, SKIPPED
from seasonplan.feed.pages.style import document, listed, paragraph, set_apart
from seasonplan.ical.text import one_line
from seasonplan.injury import words
from seasonplan.rules.tables import caution
from seasonplan.vocabulary import BodyPart, Side

NOT_YET = "When the day has come you can answer here: done or skipped, how hard, what hurt."
GONE = (
    "The plan changed, and this event is no longer in it, or not in this calendar. It goes from "
    "your phone when the calendar is fetched again."
)
AGAIN = "Answer once more and the newer answer counts; both stay in the diary."


def entry_page(
    entry: Entry, *, home: bool, written: str = "", token: str = "", not_yet: bool = False,
    over: bool = False,
) -> str:  # fmt: skip
    """The page of an event. `home`: the page with all days lies beside it. `written` is what the
    diary says of it; with a `token` it can be answered; `not_yet` says from when. What is `over`
    is not to be left out any more."""
    return document(
        one_line(entry.title),
        _jumps(home=home, form=bool(token)),
        *_told(entry, level=1, over=over),
        *(_led_to(part) for part in entry.parts),
        f'<section class="day now">{paragraph(f"In your diary: {written}")}</section>'
        if written
        else "",
        paragraph(NOT_YET, kind="soft") if not_yet else "",
        *(_form(entry, token, again=bool(written)) if token else ()),
        paragraph(caution("general"), kind="soft"),
        referrer="same-origin" if token else "no-referrer",
    )


def _jumps(*, home: bool, form: bool) -> str:
    """The page with all days, and down to the form: the how-to before it is long."""
    links = ['<a href="./">Today and this week</a>'] if home else []
    links += ['<a href="#answer">Answer</a>'] if form else []
    return f'<p class="jump">{" · ".join(links)}</p>' if links else ""


def month_page(title: str, entries: Iterable[Entry], *, today: date) -> str:
    """All events that begin in a month, each to be found by its identity; what is over `today` is
    not to be left out any more."""
    told: list[str] = []
    for entry in entries:
        alone = len(entry.parts) == 1  # the event of a day with one session is that session
        told.append(f'<section id="{escape(entry.uid, quote=True)}">')
        told += () if alone else _told(entry, level=2, over=_is_over(entry, today))
        for part in entry.parts:
            level = 2 if alone else 3
            told.append(f'<div id="{escape(part.uid, quote=True)}">')
            told += _told(part, level=level, over=_is_over(part, today))
            told.append("</div>")
        told.append("</section>")
    return document(
        title, f"<h1>{escape(title)}</h1>", *told, paragraph(caution("general"), kind="soft")
    )


def _is_over(entry: Entry, today: date) -> bool:
    return entry.session is not None and entry.session.session.day < today


def words_page(title: str, text: str, back: str) -> str:
    """A no, or something gone wrong, and the way back."""
    go = f'<a class="go" href="{escape(back, quote=True)}">Back to the session</a>'
    return document(title, f"<h1>{escape(title)}</h1>", paragraph(text), go)


def gone_page(*, home: bool) -> str:
    """What is shown where an event was that the plan has no more."""
    title = "No longer planned"
    return document(title, _jumps(home=home, form=False), f"<h1>{title}</h1>", paragraph(GONE))


def _told(entry: Entry, *, level: int, over: bool = False) -> Iterator[str]:
    yield f"<h{level}>{escape(one_line(entry.title))}</h{level}>"
    yield paragraph(entry.when)
    told = entry.session
    if told and told.refusal and not over:
        yield paragraph(told.refusal, kind="warn")
        yield paragraph(ANEW)
    yield from (paragraph(line) for line in entry.lines if line != caution("general"))
    yield set_apart("Not yet", entry.not_yet)
    if told is None:
        return
    below = level + 1
    for heading, lines in told.steps:
        yield f"<h{below}>{escape(heading)}</h{below}>"
        yield listed(lines) if len(lines) > 1 else paragraph(lines[0])
    yield f"<h{below}>Why</h{below}>{paragraph(told.why)}" if told.why else ""
    yield set_apart("Take care", told.mind)


def _led_to(part: Entry) -> str:
    """The way to one session of an event that holds several."""
    href = escape(part.uid, quote=True)
    go = f'<a class="go" href="{href}">{escape(one_line(part.title))}</a>'
    return f"{paragraph(part.when)}{paragraph(' '.join(part.lines))}{go}"


def _form(entry: Entry, token: str, *, again: bool) -> Iterator[str]:
    uid = escape(entry.uid, quote=True)
    yield f'<form method="post" action="{uid}" autocomplete="off" id="answer">'
    yield f'<input type="hidden" name="token" value="{escape(token, quote=True)}">'
    yield "<fieldset><legend>Did you do it?</legend>"
    yield f'<div class="picks">{_pick("did", DONE, "Done", required=True)}'
    yield f"{_pick('did', SKIPPED, 'Skipped', required=True)}</div></fieldset>"
    yield f'<fieldset><legend>{escape(ASKED)}</legend><div class="picks rates">'
    yield from (_pick("effort", str(n), str(n), label=_effort(n)) for n in range(11))
    yield f"{_pick('effort', '', 'Not rated', chosen=True, wide=True)}</div>"
    yield paragraph(_scale(), kind="soft")
    yield '</fieldset><fieldset><legend>Did something hurt?</legend><div class="pains">'
    yield _choice("part", "What", [("", "nothing"), *_words(BodyPart)])
    yield _choice("side", "Side", [("", "no side"), *_words(Side, but=Side.NONE)])
    yield _choice("pain", "How much", [("", "-"), *((str(n), f"{n} of 10") for n in range(11))])
    yield f"</div>{paragraph(words('pain'), kind='soft')}</fieldset>"
    yield paragraph(AGAIN, kind="soft") if again else ""
    yield '<button class="go" type="submit">Write it down</button></form>'


def _pick(
    name: str, value: str, text: str, *, label: str = "", chosen: bool = False,
    required: bool = False, wide: bool = False,
) -> str:  # fmt: skip
    more = " checked" if chosen else " required" if required else ""
    more += f' aria-label="{escape(label, quote=True)}"' if label else ""
    look = ' class="all"' if wide else ""
    return (
        f'<label{look}><input type="radio" name="{name}" value="{value}"{more}> '
        f"{escape(text)}</label>"
    )


def _choice(name: str, text: str, choices: Sequence[tuple[str, str]]) -> str:
    options = "".join(f'<option value="{value}">{escape(word)}</option>' for value, word in choices)
    return f'<label>{escape(text)}<select name="{name}">{options}</select></label>'


def _words(kinds: type[BodyPart] | type[Side], *, but: Side | None = None) -> list[tuple[str, str]]:
    return [(kind.value, kind.value) for kind in kinds if kind is not but]


def _effort(number: int) -> str:
    word = next((word for least, word in reversed(EFFORTS) if number >= least), "")
    return f"{number}, {word}".rstrip(", ")


def _scale() -> str:
    """Such as "0 nothing, 1 very easy ... 10 as hard as can be"."""
    return ", ".join(f"{least} {word}" for least, word in EFFORTS) + "."
