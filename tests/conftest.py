"""What every test gets: a quiet terminal, and the situations of `tests/years/` by name."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
import together
import typer.testing

from seasonplan.year import Year
from seasonplan.year.toml import read_year

YEARS = Path(__file__).parent / "years"
gc.set_threshold(50_000, 20, 50)  # rings are looked for less often: a tenth of the run's time
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # what tests start, else compiles all each time
typer.testing._get_command = cache(typer.testing._get_command)  # built once, as in a program
LONGEST_ID = 60  # letters of a text in the name of a test


def pytest_collection_finish() -> None:
    """Modules and the tests themselves stay to the end: rings are not looked for among them."""
    gc.freeze()


@pytest.fixture(autouse=True)
def _plain_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Colours, themes and authorities of whoever runs the tests change nothing."""
    for name in ("NO_COLOR", "TEXTUAL_THEME", "COLORFGBG", "SSL_CERT_FILE", "REQUESTS_CA_BUNDLE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("COLORTERM", "truecolor")


@pytest.fixture(scope="session", autouse=True)
def _run(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Where the workers of this run keep what they share."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        together.RUN.append(tmp_path_factory.getbasetemp().parent)
    yield
    together.RUN.clear()


@pytest.fixture(scope="session")
def years() -> Callable[[str], Year]:
    """`years("two-trips")` is the Year of tests/years/two-trips.toml."""

    def load(name: str) -> Year:
        text = (YEARS / f"{name}.toml").read_text(encoding="utf-8")
        return read_year(text, file=f"tests/years/{name}.toml")

    return load


def pytest_make_parametrize_id(val: object) -> str | None:
    """The beginning of a long text: whole files are no names of tests."""
    if not isinstance(val, (str, bytes)) or len(val) <= LONGEST_ID:
        return None
    return repr(val[:LONGEST_ID])
