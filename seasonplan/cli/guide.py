"""`seasonplan guide`: the reference, a page at a time, as it is shipped beside the program."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from seasonplan.cli.options import Json, Plain
from seasonplan.cli.screen import Screen, write_json
from seasonplan.errors import BadInput, Fault, did_you_mean

EXAMPLES = """Examples:

\b
  seasonplan guide             what pages there are
  seasonplan guide phone       the page on phones and calendars
"""

DOCS = Path(__file__).parent.parent / "docs"
Page = Annotated[str | None, typer.Argument(metavar="[PAGE]", help="Which page.")]


def guide(page: Page = None, *, plain: Plain = False, as_json: Json = False) -> None:
    """Read how things work: a list of pages, or one of them."""
    screen, pages = Screen.here(plain=plain), titles()
    if page is not None and page not in pages:
        do = did_you_mean(page, pages, otherwise="`seasonplan guide` lists them.")
        raise BadInput([Fault("the command", "PAGE", None, page, "a page of the guide", do)])
    if as_json:
        write_json(pages if page is None else {"page": page, "text": _text(page)})
    elif page is None:
        width = max(map(len, pages))
        for name, title in pages.items():
            screen.draw(f"{name:{width}}  {title}")
    else:
        for line in _text(page).splitlines():
            screen.draw(line)


def titles() -> dict[str, str]:
    """The title of each page, by its name."""
    return {
        path.stem: _text(path.stem).partition("\n")[0][2:] for path in sorted(DOCS.glob("*.md"))
    }


def _text(page: str) -> str:
    return (DOCS / f"{page}.md").read_text(encoding="utf-8")
