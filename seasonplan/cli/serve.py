"""`seasonplan serve`: the plan at a secret address, for a phone that subscribes."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from seasonplan.cli.accepted import accepted, mark_of, marks, tell_if_old, wished
from seasonplan.cli.exits import Exit
from seasonplan.cli.grouped import grouped
from seasonplan.cli.options import Folder, Json, Plain
from seasonplan.cli.screen import Screen, write_json

if TYPE_CHECKING:
    from seasonplan.feed.address import Address
    from seasonplan.feed.contents import Shelf, Wish
    from seasonplan.feed.serve.door import Door

STOPPED = "Stopped. Phones keep what they fetched; `seasonplan serve` goes on under the same links."
PORT = 8642  # a preference; always the same, so that a subscription finds it again
ONLY_HERE = "127.0.0.1"
EXAMPLES = """Examples:

\b
  seasonplan serve my-year                   for this machine alone
  seasonplan serve my-year --lan             for the phones in your network
  seasonplan serve my-year --new-address     a new link; the old ones end
  seasonplan serve my-year --lan --cert me.pem --key me.key
  seasonplan serve my-year --lan --answers   done, skipped, how hard, by phone

Runs until you press Ctrl-C. The link is secret and is shown once; only its
digest is kept. A changed plan is served at once; when a phone asks for it
is up to the phone.

The page begins with today and tomorrow: what, when, how hard, what to mind.
The link (URL) of each event leads to its page with the whole how-to. With
--answers a session can be answered there from its day on: done or skipped,
effort 0 to 10, what hurt. That goes into your diary at once. Whoever has a
link can then write there, too, and read what it says of a session, so it is
off unless you ask; use --cert, or your network can read along.

Injuries stay out unless you ask with --with injuries."""

TAKES = (
    "Paste an https link where the calendar app says “add calendar by URL” or “subscribe”. The "
    "page also has webcal: links, for apps that take nothing else; some of these ask without "
    "encryption first, and give the secret away to your network."
)

Lan = Annotated[
    bool, typer.Option("--lan", help="Let other machines in your network in, not only this one.")
]
Port = Annotated[
    int, typer.Option(min=0, max=65535, metavar="N", help="Where to listen; 0 is any free port.")
]
NewAddress = Annotated[
    bool, typer.Option("--new-address", help="Make a new secret link; the old ones end.")
]
Name = Annotated[
    str | None,
    typer.Option(metavar="HOST", help="What phones call this machine.", show_default="its address"),
]
Cert = Annotated[
    Path | None, typer.Option(metavar="FILE", help="Certificate (PEM): encrypts with TLS.")
]
Answers = Annotated[
    bool,
    typer.Option("--answers", help="Let whoever has a link answer sessions into your diary."),
]
Key = Annotated[Path | None, typer.Option(metavar="FILE", help="Key of the certificate (PEM).")]


@grouped(wish=wished)
def serve(
    folder: Folder = Path(),
    *,
    lan: Lan = False,
    port: Port = PORT,
    new_address: NewAddress = False,
    name: Name = None,
    cert: Cert = None,
    key: Key = None,
    answers: Answers = False,
    wish: Wish,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Let phones subscribe to the plan."""
    from seasonplan.feed.serve import listen

    screen = Screen.here(plain=plain)
    if cert or key:
        listen.check_certificate(cert or Path(), key)
    host = "0.0.0.0" if lan else ONLY_HERE  # asked for on purpose
    called = _called(name) if name else listen.own_address() if lan else ONLY_HERE
    accepted(folder)  # faults are told before anything listens
    tell_if_old(folder, screen)
    with listen.bound(host, port) as taken:
        base = f"{'https' if cert else 'http'}://{called}:{taken.getsockname()[1]}"
        shelf = _shelf(folder, wish, screen, base=base)
        shelf.contents()
        _greet(folder, base, screen, anew=new_address, as_json=as_json)
        door = _door(folder, shelf, screen, base=base, answers=answers)
        if not lan:
            screen.narrate("Only this machine is let in: --lan lets in phones in your network.")
        screen.narrate("Serving until you press Ctrl-C.")
        try:
            listen.server(door, taken.waiting, cert=cert, key=key).run(sockets=[taken])
        except KeyboardInterrupt:  # what was answered stays: nothing is undone by stopping
            screen.narrate(STOPPED)
            raise typer.Exit(Exit.STOPPED) from None


def _door(folder: Path, shelf: Shelf, screen: Screen, *, base: str, answers: bool) -> Door:
    from seasonplan.cli.answering import present_of, taker
    from seasonplan.feed.serve.door import Door

    tell = screen.narrate
    if answers:
        tell("Answers are let in: whoever has a link can write into your diary.")
    return Door(
        shelf, _address_of(folder, tell), base=base, log=tell,
        present=present_of(folder, diary=answers, tell=tell),
        take=taker(folder, tell) if answers else None,
    )  # fmt: skip


def _called(name: str) -> str:
    """A host name as it stands in a link; refused if it is none."""
    try:
        address = ipaddress.ip_address(name)
    except ValueError:
        good = name.isascii() and name.replace("-", "").replace(".", "").isalnum()
        if not good or len(name) > 253:
            raise typer.BadParameter(
                f"found {name!r}; wanted a host name or an address. Correct it."
            ) from None
        return name
    return f"[{address}]" if address.version == 6 else str(address)


def _shelf(folder: Path, wish: Wish, screen: Screen, *, base: str) -> Shelf:
    from seasonplan.feed.contents import Contents, Shelf, seen_in
    from seasonplan.feed.links import Pages
    from seasonplan.feed.private import SERVED, change_private, load_private
    from seasonplan.workspace import clock, store
    from seasonplan.workspace.busy_time import taken_now

    def keep(made: Contents) -> None:
        change_private(
            folder,
            lambda kept: kept.with_fields(
                seen=seen_in(made), shown={**kept.shown, SERVED: dict(made.shown)}
            ),
        )

    kept = load_private(folder)
    return Shelf(
        lambda: accepted(folder),
        mark_of(folder),
        wish=wish,
        now=clock.stamp,
        seen=kept.seen,
        shown=kept.shown.get(SERVED),
        keep=keep,
        tell=screen.narrate,
        diary=lambda: store.diary_rows(folder),
        taken=lambda: taken_now(folder),
        pages=Pages(base),
    )


def _address_of(folder: Path, tell: Callable[[str], None]) -> Callable[[], Address | None]:
    """The address as it is kept now: another command may make a new one meanwhile.

    Where it cannot be read nobody is let in and nobody told that nothing is there: `tell` hears
    of that once.
    """
    from seasonplan.errors import BadInput
    from seasonplan.feed.private import PRIVATE_FILE, load_private
    from seasonplan.feed.serve.door import Unknown

    path = folder / PRIVATE_FILE
    seen: Any = None
    known: Address | None = None

    def address() -> Address | None:
        nonlocal seen, known
        mark = marks(path)
        if mark != seen:
            seen, why = mark, f"{path} is gone."
            try:
                known = load_private(folder).address
            except BadInput as no:
                known, why = None, str(no.faults[0])
            if known is None:
                tell(f"Nobody is served until this is mended: {why}")
        if known is None:
            raise Unknown
        return known

    return address


def _greet(folder: Path, base: str, screen: Screen, *, anew: bool, as_json: bool) -> None:
    """Tells the link where it is new; it cannot be told again."""
    from seasonplan.feed.address import address_of, new_secret
    from seasonplan.feed.private import change_private, load_private

    if load_private(folder).address is not None and not anew:
        if as_json:
            write_json({"base": base, "page": None})
        else:
            screen.say(f"Serving at {base}, under the secret link you have.")
            screen.say("If you lost it: --new-address makes a new one, and the old one ends.")
        return
    secret = new_secret()
    change_private(folder, lambda kept: kept.with_fields(address=address_of(secret)))
    if as_json:
        write_json(_links(base, secret))
    else:
        _show_links(base, secret, screen)


def _links(base: str, secret: str) -> dict[str, Any]:
    from seasonplan.feed.pages.page import link
    from seasonplan.feed.parts import Part

    return {
        "base": base,
        "page": f"{base}/{secret}/",
        "calendars": {part.value: link(base, secret, part) for part in Part},
    }


def _show_links(base: str, secret: str, screen: Screen) -> None:
    from seasonplan.feed.pages.page import link
    from seasonplan.feed.pages.qr import qr_lines
    from seasonplan.feed.pages.subscribe import encrypted, offered
    from seasonplan.feed.parts import LOOKS, Part

    page = f"{base}/{secret}/"
    drawn = not screen.plain and f"://{ONLY_HERE}:" not in base  # no camera gets in there
    screen.say("Your secret link, shown this once. Who has it can read your plan.")
    screen.link(page)
    if drawn:
        screen.draw()
    for line in qr_lines(page, unicode=screen.unicode) if drawn else ():
        screen.draw(line)
    screen.say("Or subscribe to one calendar:")
    for part in Part:
        screen.say(f"{LOOKS[part].name}, {LOOKS[part].shows}:", indent=2)
        screen.link(offered(link(base, secret, part)))
    if encrypted(base):
        screen.say(TAKES)
