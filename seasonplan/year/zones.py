"""Time zones as people say them, by a city or a country, and the one this machine is set to.

Cities are those that zones are named after, countries those of the IANA database (`zone.tab`,
`iso3166.tab`, public domain). Reads no clock.
"""

from __future__ import annotations

import os
from functools import cache
from importlib.resources import files
from pathlib import Path

from seasonplan.year.refusal import refuse, shown

MOST_NAMED = 6
USUAL = "UTC"
# As people call them; the tables have "Britain (UK)", "Czech Republic" and so on.
_ALSO = {
    "england": "GB", "scotland": "GB", "wales": "GB", "uk": "GB", "great britain": "GB",
    "united kingdom": "GB", "usa": "US", "united states of america": "US", "america": "US",
    "czechia": "CZ", "holland": "NL", "korea": "KR", "uae": "AE",
}  # fmt: skip
# Where all but islands and single towns share one zone.
_MAINLAND = {
    "DE": "Europe/Berlin", "ES": "Europe/Madrid", "PT": "Europe/Lisbon", "NZ": "Pacific/Auckland",
    "CN": "Asia/Shanghai", "CL": "America/Santiago", "EC": "America/Guayaquil",
}  # fmt: skip


@cache
def known_zones() -> frozenset[str]:
    """The names of all zones; finding them takes 20 ms, so it is done once."""
    from zoneinfo import available_timezones

    return frozenset(available_timezones())


def zone_said(words: str) -> str | None:
    """The zone that is meant by its name, a city or a country with one zone; None for no zone."""
    if words in known_zones() and "/" in words:
        return words
    text = _plain(words)
    if text in ("here", "this machine"):
        return machine_zone()
    found = zones_of(words)
    if found:
        return found[0] if len(found) == 1 else None
    return next((zone for zone in known_zones() if _plain(zone) == text), None)


def zones_of(words: str) -> tuple[str, ...]:
    """The zones of a city that one is named after, else of a country; nothing for other words."""
    text = _plain(words)
    cities = [zone for zone in known_zones() if _plain(_city(zone)) == text and _is_place(zone)]
    if cities:
        listed = [zone for zone in cities if zone in _listed()]
        return tuple(listed or sorted(cities))[:1]
    names, by_country = _countries(), _zones()
    codes = [_ALSO[text]] if text in _ALSO else [c for c, name in names.items() if name == text]
    if codes and codes[0] in _MAINLAND:
        return (_MAINLAND[codes[0]],)
    return by_country.get(codes[0], ()) if codes else ()


def known_zone(value: str) -> str:
    """`value` if it names a zone of the IANA time zone database."""
    if value in known_zones():
        return value
    several = zones_of(value) if isinstance(value, str) else ()
    if len(several) > 1:
        cities = ", ".join(_city(zone) for zone in several[:MOST_NAMED])
        more = ", …" if len(several) > MOST_NAMED else ""
        raise refuse(
            found=f"{value!r}, which has {len(several)} time zones", wanted="one of them",
            do=f"Name a city of yours: {cities}{more}.",
        )  # fmt: skip
    raise refuse(
        found=shown(value),
        wanted="a time zone by its name",
        do="Take the one of the largest city near you: "
        '`"Europe/Vienna"`, `"America/Denver"`, `"Asia/Tokyo"`.',
    )


def machine_zone() -> str:
    """The zone that TZ names, else the one this machine is set to; UTC where neither is known."""
    tries = [os.environ.get("TZ", "").lstrip(":"), _linked(), _written()]
    if "TZ" in os.environ:
        tries = tries[:1]
    found = next((zone for zone in tries if zone in known_zones()), USUAL)
    return USUAL if found in ("Etc/UTC", "Etc/UCT", "UCT", "Zulu", "Universal") else found


def _linked() -> str:
    """What /etc/localtime leads to; its path ends with the name of the zone."""
    try:
        target = str(Path("/etc/localtime").resolve())
    except (OSError, RuntimeError):
        return ""
    return target.partition("zoneinfo/")[2]


def _written() -> str:
    try:
        return Path("/etc/timezone").read_text(encoding="ascii", errors="replace")[:99].strip()
    except OSError:
        return ""


def _plain(text: str) -> str:
    return " ".join(text.lower().replace("_", " ").split()).removeprefix("the ")


def _is_place(zone: str) -> bool:
    return "/" in zone and not zone.startswith("Etc/")


def _city(zone: str) -> str:
    return zone.rpartition("/")[2].replace("_", " ")


def _table(name: str) -> list[list[str]]:
    text = (files("tzdata") / "zoneinfo" / name).read_text(encoding="utf-8")
    return [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")]


@cache
def _countries() -> dict[str, str]:
    """Names by code, in lower case; what stands in brackets is left out."""
    return {code: _plain(name.partition(" (")[0]) for code, name in _table("iso3166.tab")}


@cache
def _zones() -> dict[str, tuple[str, ...]]:
    """Zones by code of the country, the most peopled first as the table has them."""
    found: dict[str, tuple[str, ...]] = {}
    for code, _, zone, *_ in _table("zone.tab"):
        found[code] = (*found.get(code, ()), zone)
    return found


@cache
def _listed() -> frozenset[str]:
    return frozenset(zone for zones in _zones().values() for zone in zones)
