"""How far a rule is broken or missed, in the words of that rule: what a finding's number counts.

Knows the codes of rules and what their judges measure; judges nothing.
"""

from __future__ import annotations

from collections.abc import Callable

from seasonplan.days import count_text
from seasonplan.explain.words import length_text, number_text
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Limit, Rule
from seasonplan.rules.tables import composing

Told = Callable[[float, Rule], str]


def amount_text(finding: Finding, rule: Rule) -> str:
    """Such as "1.6 times the best month before"; nothing where none says anything."""
    if finding.found is None:
        return ""
    if finding.code == "session-spacing":
        return _apart(finding.found, finding.limit or 0)
    if finding.code == "power-endurance-late" and finding.found <= rule.number:
        return _too_long(finding)  # near enough to rock
    told = _TOLD.get((finding.code, finding.about)) or _TOLD.get((finding.code, ""), unit_text)
    against = _AGAINST.get((finding.code, finding.about), "")
    return told(finding.found, rule) + against.format(limit=finding.limit)


def unit_text(value: float, rule: Rule) -> str:
    """A number in the unit of a rule: "1 week", "6 days a week", "41 %"."""
    if rule.unit == "percent":
        return f"{value:.0f} %"
    if value == 1 and rule.unit != "times":
        thing, space, rest = rule.unit.partition(" ")
        return f"1 {thing.removesuffix('s')}{space}{rest}"
    return f"{number_text(value)} {rule.unit}".strip()


def ends_text(limit: Limit, rule: Rule) -> str:
    """A limit in the unit of a rule: "4 weeks", "3 to 8 weeks"; nothing where there is none."""
    if limit is None:
        return ""
    if not isinstance(limit, tuple):
        return unit_text(limit, rule)
    return f"{limit[0]:g} to {unit_text(limit[1], rule)}"


def _off_the_asked(share: float, rule: Rule) -> str:
    """Load done, in percent of what is asked."""
    off = abs(share - 100)
    told = number_text(off) if round(off) == rule.limit else f"{off:.0f}"
    return f"{told} % {'more' if share > 100 else 'less'} than asked"


def _cut(percent: float, rule: Rule) -> str:
    return f"{abs(percent):.0f} % {'below' if percent >= 0 else 'above'} a full week"


def _apart(between: float, wanted: float) -> str:
    """Whole days between two sessions, of those that are wanted."""
    if not wanted:
        return "on one day"
    none = "no whole day" if not between else count_text(round(between), "whole day")
    return f"{none} between, {wanted:.0f} wanted"


def _too_long(finding: Finding) -> str:
    most = count_text(composing().block.power_endurance_weeks, "week")
    return f"{length_text(finding.span.length)} long, {most} at most"


def _minutes(value: float, rule: Rule) -> str:
    return count_text(round(value), "minute")


def _load(value: float, rule: Rule) -> str:
    return f"load {value:.0f}"


def _hard_hangs(value: float, rule: Rule) -> str:
    return f"{value:.0f} s of hard hangs"


def _nothing(value: float, rule: Rule) -> str:
    return ""


def _before_rest(weeks: float, rule: Rule) -> str:
    """The weeks since the last rest; where they are enough it is the light week before."""
    return "straight after a light week" if weeks >= rule.number else unit_text(weeks, rule)


_TOLD: dict[tuple[str, str], Told] = {
    ("load-step", ""): lambda found, _: f"{number_text(found)} times the best month before",
    ("missed-weeks", ""): lambda found, _: (
        f"{number_text(found)} times the fullest week that was done"
    ),
    ("lead-in-start", ""): lambda found, _: f"{count_text(round(found), 'day')} before",
    ("lead-in-volume", ""): _cut,
    ("work-before-rest", ""): _before_rest,
    ("build-back", "volume"): lambda found, _: f"{found:.0f} % of a full week",
    ("injury-caps", ""): _nothing,
    ("session-dose", "load"): _off_the_asked,
    ("session-dose", ""): _minutes,
    ("session-progression", "light week"): _load,
    ("session-progression", "hard sessions"): lambda found, _: count_text(
        round(found), "hard session"
    ),
    ("session-progression", "hard hangs"): _hard_hangs,
    ("session-order", ""): _nothing,
    ("session-return", "hard after days off"): lambda found, _: f"effort {found:g}",
    ("session-return", "climbing twice a day while a part comes back"): _nothing,
    ("session-return", "long climbing while a part comes back"): _minutes,
    ("session-return", "climbing while a part comes back"): _minutes,
    ("session-return", "load of a week while a part comes back"): _load,
    ("session-return", "first hard hangs after an injury"): _hard_hangs,
    ("session-needs", ""): lambda found, _: f"{count_text(round(found), 'day')} in seven",
    ("session-rest-day", ""): lambda found, _: count_text(round(found), "day"),
}
# What a week is measured by, where no limit of the rule says it.
_AGAINST: dict[tuple[str, str], str] = {
    ("session-progression", "light week"): ", {limit:.0f} in the week before",
    ("session-progression", "hard sessions"): ", {limit:.0f} in the normal week before",
    ("session-progression", "hard hangs"): ", {limit:.0f} s in the normal week with most",
    ("session-return", "days running that load what comes back"): ", {limit:.0f} at most",
    ("session-return", "long climbing while a part comes back"): ", {limit:.0f} at most",
    ("session-return", "climbing while a part comes back"): " in a week, {limit:.0f} at most",
    ("session-return", "load of a week while a part comes back"): ", {limit:.0f} at most",
    (
        "session-return",
        "first hard hangs after an injury",
    ): ", one session of {limit:.0f} s at most",
}
