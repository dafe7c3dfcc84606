"""What a session says: its steps, what to do, what is new this week, and when to stop.

The words stand in `shared/recipes.toml` and `shared/cautions.toml`; here their placeholders are
filled: {hangs} {seconds} {every} {minutes} {work} {low} {high} {share}; {load} is the share of the
own maximum that hangs have today, {at:70} any share; {rounds:8/6} says how many rounds of 8 minutes
fit after the warm-up, 6 at most, {rounds:8/6|16/3 link} the same with a word, and in a light week
those of 16 minutes; {week:three|two} has other words in a light week, {hang:so|else} for who may
not hang hard at home, {grown:so|else} under 18. {words:fingers} is a text of the cautions, {check}
how a reserve is meant.

So each number is said once: how much and how hard is in one place, for a normal week and a light
one. Knows no dates, no plan and no climber.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from seasonplan.days import count_text
from seasonplan.errors import Misuse
from seasonplan.recipes.recipe import Recipe
from seasonplan.rules.tables import caution, light_holds
from seasonplan.vocabulary import FrozenModel

_PLACE = re.compile(r"\{(?P<name>[a-z]+)(?::(?P<of>[^{}]+))?\}")
_STEP = re.compile(r"(?P<minutes>\d+) min: (?P<what>.+)", re.DOTALL)
TEST_DAY = "test-day"  # the recipe whose text holds the climber's own test
_AGAIN = 4  # steps that come round again where a work goes on for longer than it has steps


@dataclass(frozen=True, slots=True)
class OwnMaximum:
    """The tested maximum of the fingers: `error_kg` is one standard deviation, `by` says when.

    `a_hand`: one hand lifts it. `body_kg` is the body where it is lifted along and counts in it.
    """

    kg: float
    error_kg: float
    by: str
    a_hand: bool = False
    body_kg: float | None = None

    @property
    def text(self) -> str:
        """Such as "42 kg a hand"."""
        body = " with your body" if self.body_kg is not None else ""
        return f"{self.kg:g} kg{' a hand' if self.a_hand else ''}{body}"

    def share_text(self, percent: str) -> str:
        """What a share, or a range of shares such as "80-85", comes to."""
        low, *more = (self.kg * float(part) / 100 for part in percent.split("-"))
        if self.body_kg is None:
            return "-".join(f"{kg:.0f}" for kg in (low, *more)) + " kg"
        told = dict.fromkeys(self._beside_body(kg - self.body_kg) for kg in (low, *more))
        return " to ".join(told)

    @staticmethod
    def _beside_body(kg: float) -> str:
        if abs(kg) < 0.5:
            return "nothing added"
        return f"{kg:.0f} kg added" if kg > 0 else f"{-kg:.0f} kg off"


@dataclass(frozen=True, slots=True)
class OwnTests:
    """What the climber's tests give to sessions; `on_test_day` stands in the one for the test.

    `by_effort`: for who is not to test a maximum, light holds are told by effort.
    """

    maximum: OwnMaximum | None = None
    on_test_day: str = ""
    by_effort: bool = False


UNTESTED = OwnTests()
BY_EFFORT = OwnTests(by_effort=True)


def untested(*, young: bool) -> OwnTests:
    """What sessions say where nothing was tested: to the young nothing by a maximum."""
    return BY_EFFORT if young else UNTESTED


@dataclass(frozen=True, slots=True)
class Home:
    """What a climber can do in place of a day on rock: whether there is a `wall`, whether hangs may
    be hard; `grown`: 18 years old or more; `away`: on a trip, where neither is asked."""

    wall: bool = True
    hangs: bool = True
    grown: bool = True
    away: bool = False


WITH_WALL = Home()
# says nothing of an injury: texts are alike in calendars that do not tell of any
GENTLY = (
    "Begin gently after the break (custom, no source): shares are of what you can hang now without "
    "pain, not of your maximum from before it. What a doctor or physiotherapist told you comes "
    "before this; in these weeks any pain ends it."
)


class SessionText(FrozenModel):
    """The texts of one session, each ready to be shown; what there is nothing to say of is empty.

    `warm_up` has a line for each step, with its minutes. `own_test` tells the climber's own test on
    the day of the test. `cautions` are the recipe's; whether the
    one for the young is shown is for who knows the climber.
    """

    warm_up: tuple[str, ...] = ()
    do: str = ""
    this_week: str = ""
    own_test: str = ""
    stop: str = ""
    wet: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """All but the cautions, in the order in which they are needed."""
        warm_up = f"Warm up. {' '.join(self.warm_up)}" if self.warm_up else ""
        wet = f"Wet or too warm? {self.wet}" if self.wet else ""
        told = (warm_up, self.do, self.this_week, self.own_test, self.stop, wet)
        return tuple(line for line in told if line)


@dataclass(frozen=True, slots=True)
class HangLoad:
    """How hard the hangs of a session are: a share of the own maximum.

    `harder`: the harder of two days of hangs that take turns; `gently`: the first after a hurt
    finger, wrist, elbow or shoulder is back in full.
    """

    share: float
    harder: bool = False
    gently: bool = False


@dataclass(frozen=True, slots=True)
class Step:
    """Where a session is in its work: `number` of the step, from 1, that it is in.

    `after`: days without the work, where it begins again here; `since`: the same in what follows,
    while its block holds steps of before; `goes_on`: it was done in weeks before this one without
    such a break; `load`: how hard its hangs are.
    """

    number: int = 1
    after: int = 0
    since: int = 0
    goes_on: bool = False
    load: HangLoad | None = None


def session_text(
    recipe: Recipe, *, step: Step, light: bool, minutes: int, hangs: int,
    tested: OwnTests = UNTESTED, home: Home = WITH_WALL,
) -> SessionText:  # fmt: skip
    """What this recipe says in that step of its work, at this length and number of hangs.

    Without hangs it has the fewest in a light week, else the most; without a load they are as hard
    as the recipe begins. Where the own maximum was tested shares of it are told in kilograms, with
    where they come from and how far that may be wrong.
    """
    load = step.load or HangLoad(recipe.hang_share[0])
    count = hangs or _usual_hangs(recipe, light)
    goes_on = step.goes_on and recipe.hard_hangs
    fill = _Placeholders(recipe, minutes, count, load.share, light, tested, goes_on, home)
    turn = "Today is the hard day of the two."
    said = [recipe.do, turn if load.harder and recipe.hard_hangs else ""]
    said.append(GENTLY if load.gently and recipe.hard_hangs else "")
    warm_up = tuple(map(fill, _warm_up(recipe, minutes)))
    do = fill(" ".join(text for text in said if text))
    this_week = fill(_this_week(recipe, step, light=light))
    source = _source(tested.maximum, (do, this_week))
    return SessionText(
        warm_up=warm_up,
        do=" ".join(text for text in (do, source) if text),
        this_week=this_week,
        own_test=tested.on_test_day if recipe.id == TEST_DAY else "",
        stop=fill(recipe.stop),
        wet=fill(_wet(recipe, home)),
        cautions=recipe.cautions,
    )


def _wet(recipe: Recipe, home: Home) -> str:
    """What to do in place of a day on rock, as the recipe has it for where the climber is."""
    here = recipe.wet if home.wall else recipe.wet_without
    return (recipe.wet_away if home.away else here) or recipe.wet


def _source(maximum: OwnMaximum | None, texts: Iterable[str]) -> str:
    """Where kilograms come from and how far they may be wrong, where a text tells any."""
    if maximum is None or not any(f" of {maximum.text}" in text for text in texts):
        return ""
    return f"The {maximum.kg:g} kg are by {maximum.by}, give or take {maximum.error_kg:.1f} kg."


def usual_text(recipe: Recipe) -> SessionText:
    """What a recipe says at its usual length in its first step: for a rule book."""
    return session_text(recipe, step=Step(), light=False, minutes=recipe.minutes, hangs=0)


def _usual_hangs(recipe: Recipe, light: bool) -> int:
    return recipe.hangs[0] if light else recipe.hangs[1]


def _this_week(recipe: Recipe, step: Step, *, light: bool) -> str:
    """Which step it is, after how long a break, and what is new in it. After the last step told
    the last few come again. Hangs that begin in a light week say at which load, too."""
    if step.number < 1:
        raise Misuse(f"step {step.number} of a work; wanted 1 or more")
    again = f" since the break of {step.since} days" if step.since else ""
    again = f", again after {step.after} days" if step.after else again
    begins = recipe.hard_hangs and not step.goes_on and step.number == 1
    if light and not begins and recipe.id != TEST_DAY:
        return f"A light week{again}: {recipe.light}" if recipe.light else ""
    told = len(recipe.progress)
    if not told:
        return ""
    round_again, beyond = min(_AGAIN, told), step.number - told
    place = step.number if beyond <= 0 else told - round_again + 1 + (beyond - 1) % round_again
    return f"Step {step.number}{again}: {recipe.progress[place - 1]}"


def _warm_up(recipe: Recipe, minutes: int) -> tuple[str, ...]:
    """The steps, their minutes in proportion to the length of the session."""
    total = round(minutes - recipe.working_minutes(minutes))
    if not total:
        return ()
    steps = [found for step in recipe.warm_up if (found := _STEP.fullmatch(step))]
    if not steps:
        return (f"{total} min: your usual warm-up.",)
    shares = _shared_out(total, [int(step["minutes"]) for step in steps])
    return tuple(
        f"{share} min: {step['what']}" for share, step in zip(shares, steps, strict=True) if share
    )


def _shared_out(total: int, parts: list[int]) -> list[int]:
    """`total` whole minutes in proportion to `parts`, the largest remainders rounded up."""
    exact = [total * part / sum(parts) for part in parts]
    whole = [int(part) for part in exact]
    by_remainder = sorted(range(len(parts)), key=lambda n: whole[n] - exact[n])
    for n in by_remainder[: total - sum(whole)]:
        whole[n] += 1
    return whole


@dataclass(frozen=True, slots=True)
class _Placeholders:
    """Fills the placeholders of a text; what is none, as in a climber's own words, stays."""

    recipe: Recipe
    minutes: int
    hangs: int
    load: float
    light: bool
    tested: OwnTests
    goes_on: bool  # hard hangs that went on so far
    home: Home

    def __call__(self, text: str) -> str:
        plain = self._plain()
        text = re.sub(r"\{(low|high)\}", lambda found: plain[found[1]], text)
        return _PLACE.sub(lambda found: self._filled(found, plain), text)

    def _filled(self, found: re.Match[str], plain: Mapping[str, str]) -> str:
        match found["name"], found["of"]:
            case "at", str(of):
                return self._share(of)
            case "rounds", str(of):
                return self._rounds(of)
            case "week", str(of) if "|" in of:
                return of.split("|", 1)[self.light]
            case "hang", str(of) if "|" in of:
                return of.split("|", 1)[not self.home.hangs]
            case "grown", str(of) if "|" in of:
                return of.split("|", 1)[not self.home.grown]
            case "words", str(of):
                return self(caution(of))
            case name, None if name in plain:
                return plain[name]
        return found[0]

    def _plain(self) -> dict[str, str]:
        low, high = (f"{100 * share:g}" for share in self.recipe.hang_share)
        return {
            "hangs": str(self.hangs),
            "seconds": str(self.recipe.hang_seconds),
            "every": _time(self.recipe.hang_minutes),
            "minutes": str(self.minutes),
            "work": f"{self._work:.0f}",
            "low": low,
            "high": high,
            "share": self._share(low if low == high else f"{low}-{high}"),
            "load": self._share(f"{100 * self.load:g}"),
            "check": self._check,
        }

    @property
    def _check(self) -> str:
        if self.tested.maximum is not None:
            return "As a check"
        return "Begin with the load you have" if self.goes_on else "Untested"

    @property
    def _work(self) -> float:
        return self.recipe.working_minutes(self.minutes)

    def _rounds(self, of: str) -> str:
        lengths, _, thing = of.partition(" ")
        normal, _, light = lengths.partition("|")
        each, _, most = (light if self.light and light else normal).partition("/")
        rounds = max(1, int(self._work // float(each)))
        rounds = min(rounds, int(most)) if most else rounds
        return count_text(rounds, thing) if thing else str(rounds)

    def _share(self, percent: str) -> str:
        """Such as "80-85 % of your maximum", or "80-85 % of 42 kg a hand (34-36 kg)"."""
        effort = _effort(percent) if self.tested.by_effort else ""
        if effort:
            return f"effort {effort} of 10"
        maximum = self.tested.maximum
        if maximum is None:
            return f"{percent} % of your maximum"
        return f"{percent} % of {maximum.text} ({maximum.share_text(percent)})"


def _effort(percent: str) -> str:
    """Such as "2 to 3" for "40-60"; empty above what is told by effort."""
    found = [
        next((str(effort) for upto, effort in light_holds() if float(part) <= upto), "")
        for part in percent.split("-")
    ]
    return " to ".join(dict.fromkeys(found)) if all(found) else ""


def _time(minutes: float) -> str:
    """Such as "2 min" or "2 min 45 s"."""
    whole, seconds = divmod(round(60 * minutes), 60)
    told = [f"{whole} min" if whole else "", f"{seconds} s" if seconds else ""]
    return " ".join(part for part in told if part) or "0 s"
