"""The password of a person on a calendar server, asked for where nothing has it."""

from __future__ import annotations

import sys

import typer


def password_of(address: str, user: str, *, variable: str = "") -> str:
    """From the environment, the keyring, or a question; "" for nobody."""
    from seasonplan.cli.asking import yes
    from seasonplan.feed.publish.passwords import VARIABLE, password_for, remember

    found = password_for(address, user, variable=variable or VARIABLE) if user else ""
    if found is None and sys.stdin.isatty():
        found = typer.prompt("Password", hide_input=True, err=True)
        if yes("Keep it in the keyring of your system?", default="no"):
            told = remember(address, user, found)
            typer.echo("Kept." if told else "There is no keyring here; not kept.", err=True)
    return found or ""
