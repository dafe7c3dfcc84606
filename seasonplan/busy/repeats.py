"""Whether an event's recurrence may be expanded at all, judged from its text alone.

Knows no iCalendar library: what is refused here never reaches one.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, tzinfo
from math import prod

from seasonplan.busy.limits import BusyLimits
from seasonplan.busy.lines import Lines

_FREQUENCIES = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
_CLOCK = ("BYHOUR", "BYMINUTE", "BYSECOND")
_LOCAL = re.compile(r"(\d{8})(?:T(\d{6})(Z?))?")


class Skip(Exception):
    """One event cannot be used; the text says why."""


def parts(rule: str) -> dict[str, str]:
    """A rule's parts by upper-case name. Raises Skip where the rule is not one."""
    found: dict[str, str] = {}
    for part in rule.strip().rstrip(";").split(";"):
        name, equals, text = part.partition("=")
        name = name.strip().upper()
        if not equals or name in found:
            raise Skip(f"its RRULE is not readable at {part[:40]!r}")
        found[name] = text.strip().upper()
    return found


def guard(event: Lines, limits: BusyLimits) -> None:
    """Raises Skip where an event's recurrence asks for too much."""
    if event.values("EXRULE"):
        raise Skip("it has an EXRULE, which is no longer allowed and can hang readers")
    rules = event.values("RRULE")
    if len(rules) > limits.rules_per_event:
        raise Skip(f"it has {len(rules)} RRULEs, more than {limits.rules_per_event}")
    dates = sum(text.count(",") + 1 for name in ("RDATE", "EXDATE") for text in event.values(name))
    if dates > limits.dates_per_event:
        raise Skip(f"it lists {dates:,} dates, more than {limits.dates_per_event:,}")
    for rule in rules:
        guard_rule(parts(rule), limits)


def guard_rule(rule: dict[str, str], limits: BusyLimits) -> None:
    """Raises Skip for a rule that is finer than daily, endless in place, or explosive."""
    frequency = rule.get("FREQ", "nothing")
    if frequency not in _FREQUENCIES:
        raise Skip(f"it repeats {frequency[:20]}; only {', '.join(_FREQUENCIES)} are read")
    interval, count = _number(rule, "INTERVAL"), _number(rule, "COUNT")
    if interval is not None and not 1 <= interval <= 10_000:
        raise Skip(f"its INTERVAL is {interval}")
    if count is not None and not 1 <= count <= limits.count:
        raise Skip(f"its COUNT is {count:,}; at most {limits.count:,} is read")
    lengths = {name: text.count(",") + 1 for name, text in rule.items() if name.startswith("BY")}
    if prod(lengths.values()) > limits.by_values:
        raise Skip(f"its BY lists make {prod(lengths.values()):,} combinations")
    a_day = prod(lengths.get(name, 1) for name in _CLOCK)
    if a_day > limits.clock_values:
        raise Skip(f"it repeats {a_day:,} times a day")


def _number(rule: dict[str, str], name: str) -> int | None:
    if name not in rule:
        return None
    if not re.fullmatch(r"-?\d{1,9}", rule[name]):
        raise Skip(f"its {name} is {rule[name][:20]!r}")
    return int(rule[name])


def repaired(rule: str, *, zone: tzinfo | None) -> str:
    """The rule with UNTIL of the type of its event's start: a date, or UTC (RFC 5545 3.3.10).

    `zone` is the start's; None for an all-day event. A date as UNTIL means all that day.
    """
    found = parts(rule)
    match = _LOCAL.fullmatch(found.get("UNTIL", ""))
    if "UNTIL" in found and match is None:
        raise Skip(f"its UNTIL is {found['UNTIL'][:20]!r}")
    if match is not None:
        found.pop("COUNT", None)
        day, clock, utc = match[1], match[2] or "235959", match[3]
        if zone is None:
            found["UNTIL"] = day
        else:
            try:
                until = datetime.strptime(day + clock, "%Y%m%d%H%M%S").replace(
                    tzinfo=UTC if utc else zone
                )
            except ValueError:
                raise Skip(f"its UNTIL is {found['UNTIL'][:20]!r}") from None
            found["UNTIL"] = f"{until.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    return ";".join(f"{name}={text}" for name, text in found.items())
