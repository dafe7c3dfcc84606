"""Which zone a TZID of the file means: by name, else by the file's VTIMEZONE, else a guess.

By name means the IANA database or a Windows name that icalendar maps. Every guess is noted.
"""

from __future__ import annotations

import warnings
from datetime import tzinfo
from itertools import count
from zoneinfo import ZoneInfo

from seasonplan.busy.limits import BusyLimits, Remark
from seasonplan.busy.lines import Lines
from seasonplan.busy.repeats import Skip, guard_rule, parts

_NUMBERS = count(1)  # icalendar keeps zones by name for the life of the process


class Zones:
    """TZIDs to zones that icalendar knows by `name`. Collects notes on what was guessed."""

    def __init__(
        self, blocks: list[Lines], *, home: str, calendar: str, limits: BusyLimits
    ) -> None:
        self.home = home
        self.notes: list[Remark] = []
        self._limits = limits
        self._blocks = {block.first("TZID"): block for block in reversed(blocks)}
        self._found: dict[str, tuple[str, tzinfo]] = {}
        self._guess = _by_name(calendar) or ZoneInfo(home)

    def name(self, tzid: str, *, line: int) -> str:
        """A zone name that icalendar resolves to the zone meant by `tzid`."""
        return self._resolve(tzid, line=line)[0]

    def zone(self, tzid: str, *, line: int) -> tzinfo:
        return self._resolve(tzid, line=line)[1]

    def _resolve(self, tzid: str, *, line: int) -> tuple[str, tzinfo]:
        if tzid not in self._found:
            named = _by_name(tzid)
            if named is not None:
                self._found[tzid] = named.key, named
            else:
                self._found[tzid] = self._from_file(tzid) or self._guessed(tzid, line)
        return self._found[tzid]

    def _from_file(self, tzid: str) -> tuple[str, tzinfo] | None:
        from icalendar import Timezone
        from icalendar.timezone import tzp

        block = self._blocks.get(tzid)
        if block is None:
            return None
        name = f"zone-of-file-{next(_NUMBERS)}"
        try:
            for rule in block.values("RRULE"):
                guard_rule(parts(rule), self._limits)
            if block.broken:
                raise Skip(block.broken)
            lines = (f"TZID:{name}" if _is_tzid(text) else text for _, text in block.kept)
            component = Timezone.from_ical("\r\n".join(lines) + "\r\n")
            tzp.cache_timezone_component(component)
            zone = tzp.timezone(name)
        except Exception as error:  # whatever a broken VTIMEZONE makes the library raise
            reason = f"the file's time zone {tzid[:60]!r} cannot be used ({str(error)[:80]})"
            self.notes.append(Remark(reason=reason, line=block.line))
            return None
        return None if zone is None else (name, zone)

    def _guessed(self, tzid: str, line: int) -> tuple[str, tzinfo]:
        reason = f"the time zone {tzid[:60]!r} is unknown: its times are read as {self._guess.key}"
        self.notes.append(Remark(reason=reason, line=line))
        return self._guess.key, self._guess


def _is_tzid(text: str) -> bool:
    return text.upper().startswith(("TZID:", "TZID;"))


def _by_name(tzid: str) -> ZoneInfo | None:
    from icalendar.timezone import tzp

    if not tzid or len(tzid) > 200:
        return None
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            zone = tzp.timezone(tzid)
        except (OSError, ValueError):  # ZoneInfo("America") is a folder, "a\0b" no path
            return None
    return zone if isinstance(zone, ZoneInfo) else None
