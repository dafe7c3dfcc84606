"""The rule book: every rule with its backing, switched and changed after it was tried."""

from __future__ import annotations

from pathlib import Path

import pytest
from stage import demo, main, opened, press, screen_text, told, typed, until, words
from textual.pilot import Pilot
from textual.widgets import OptionList, Static

from seasonplan.explain.rulebook import OFF, ON, rule_facts, sign_of
from seasonplan.recipes.book import standard_recipes
from seasonplan.rules.statements import standard_book
from tui.forms.screen import FormScreen
from tui.lists.rules import RulesPage
from tui.lists.trial import TrialScreen


def page(pilot: Pilot[int]) -> RulesPage:
    return main(pilot).query_one(RulesPage)


def beside(pilot: Pilot[int]) -> str:
    """What is told of the chosen one."""
    return str(page(pilot).query_one(".list-words", Static).content)


def text(folder: Path) -> str:
    return (folder / "year.toml").read_text(encoding="utf-8")


async def choose(pilot: Pilot[int], kind: str, name: str) -> None:
    """Turn to the fourth page and choose a rule or recipe."""
    await press(pilot, "4")
    page(pilot).point(f"{kind} {name}")
    await pilot.pause()


async def fill(pilot: Pilot[int], key: str, said: str) -> None:
    screen = pilot.app.screen
    assert isinstance(screen, FormScreen)
    line = next(one for one in screen.fields if one.line.key == key)
    line.input.focus()
    await pilot.pause()
    line.input.select_all()
    await typed(pilot, said, "delete")


async def tried(pilot: Pilot[int]) -> TrialScreen:
    """Wait for the answer of a trial."""
    await until(pilot, lambda: isinstance(pilot.app.screen, TrialScreen))
    screen = pilot.app.screen
    assert isinstance(screen, TrialScreen)
    await until(pilot, lambda: screen.answer is not None or screen.job.error)
    assert screen.job.error is None
    return screen


# --- reading ----------------------------------------------------------------------------------


async def test_every_rule_and_recipe_is_listed(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(120, 90)) as pilot:
        await press(pilot, "4")
        view = page(pilot).query_one(OptionList)
        ids = [option.id for option in view.options]
        assert {f"rule {rule.code}" for rule in standard_book()} <= set(ids)
        assert {f"recipe {name}" for name in standard_recipes()} <= set(ids)


@pytest.mark.parametrize("code", ["lead-in-volume", "load-step"])
async def test_a_rule_is_told_with_reason_evidence_and_source(tmp_path: Path, code: str) -> None:
    async with opened(demo(tmp_path), size=(160, 60)) as pilot:
        await choose(pilot, "rule", code)
        shown = beside(pilot)
        rule = standard_book()[code]
        assert rule.title in shown
        for head in ("Asks:", "Why:", "How strict:", "Limit:", "Evidence:", "Source:"):
            assert head in shown
        assert f"{ON} on" in shown and "(abstract read)" in shown
        strict = "It always holds" if rule.hard else "A preference: where a plan does not meet it"
        assert strict in shown


def test_every_rule_has_its_evidence_and_every_source_how_far_it_was_checked() -> None:
    for rule in standard_book():
        facts = list(rule_facts(rule))
        assert [head for head, _ in facts][:3] == ["Asks", "Why", "How strict"]
        sources = [told for head, told in facts if head == "Source"]
        checked = ("(text read)", "(abstract read)", "by others", "from memory", "no source")
        assert sources and all(any(how in told for how in checked) for told in sources)


def test_off_changed_and_as_delivered_differ_by_sign() -> None:
    signs = {
        sign_of(on=True, changed=False), sign_of(on=True, changed=True),
        sign_of(on=False, changed=True),
    }  # fmt: skip
    assert len(signs) == 3


async def test_a_recipe_is_told_with_its_caution(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(160, 60)) as pilot:
        name = next(one.id for one in standard_recipes().values() if one.max_fingers)
        await choose(pilot, "recipe", name)
        shown = beside(pilot)
        assert standard_recipes()[name].name in shown
        assert "Take care:" in shown and "Under 18" in shown and "Trains:" in shown


# --- trying -----------------------------------------------------------------------------------


async def test_switching_a_rule_off_is_tried_then_kept_then_taken_back(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = text(folder)
    async with opened(folder) as pilot:
        await choose(pilot, "rule", "base-length")
        await press(pilot, "o")
        screen = await tried(pilot)
        shown = words(pilot)
        assert "A base block lasts 3 to 8 weeks”: switched off." in shown
        assert "What each goal wins or loses" in shown and "good ones (" in shown
        assert screen.answer.goals
        assert text(folder) == before
        await press(pilot, "a")
        assert text(folder) == f"{before}\n[rules.base-length]\non = false\n"
        shown = words(pilot)
        assert f"{OFF} A base block lasts" in shown and "off, changed by you" in shown
        await press(pilot, "u")
        assert text(folder) == before
        assert main(pilot).bench.desk.book["base-length"].on


async def test_a_trial_that_is_left_changes_nothing(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = text(folder)
    async with opened(folder) as pilot:
        await choose(pilot, "rule", "rest-day")
        await press(pilot, "space")
        assert isinstance(pilot.app.screen, TrialScreen)
        await press(pilot, "escape")
        assert pilot.app.screen is main(pilot)
    assert text(folder) == before


async def test_a_limit_is_changed_in_a_form_and_blocks_that_change_are_told(
    tmp_path: Path,
) -> None:
    folder = demo(tmp_path)
    async with opened(folder, size=(120, 50)) as pilot:
        await choose(pilot, "rule", "performance-length")
        await press(pilot, "enter")
        await fill(pilot, "limit", "1 to 4")
        await press(pilot, "ctrl+s")
        screen = await tried(pilot)
        shown = words(pilot)
        assert "limit 1 to 8 weeks, now 1 to 4 weeks" in shown
        assert screen.answer.blocks
        assert "Blocks that change" in shown
        assert "The performance block from 20 Sep" in shown
        await press(pilot, "a")
        assert main(pilot).bench.desk.book["performance-length"].limit == (1, 4)
    assert "[rules.performance-length]\nlimit = [1, 4]" in text(folder)


async def test_a_limit_that_cannot_be_is_a_fault_beside_its_line(tmp_path: Path) -> None:
    async with opened(demo(tmp_path)) as pilot:
        await choose(pilot, "rule", "base-length")
        await press(pilot, "enter")
        screen = pilot.app.screen
        assert isinstance(screen, FormScreen)
        for said, fault in (
            ("6 to 3", "numbers above 0, lowest first"), ("5", "lowest and highest, as 3, 6"),
            ("long", "a number, or lowest and highest"),
        ):  # fmt: skip
            await fill(pilot, "limit", said)
            await until(
                pilot,
                lambda fault=fault: fault in getattr(screen.wrong.get("limit"), "text", ""),  # type: ignore[misc]
            )


async def test_a_preference_has_a_price_and_a_rule_that_always_holds_has_none(
    tmp_path: Path,
) -> None:
    async with opened(demo(tmp_path)) as pilot:
        for code, keys in (("load-step", {"on", "limit", "weight"}), ("order", {"on"})):
            await choose(pilot, "rule", code)
            await press(pilot, "enter")
            screen = pilot.app.screen
            assert isinstance(screen, FormScreen)
            assert {one.line.key for one in screen.fields} == keys
            await press(pilot, "escape")


async def test_as_delivered_takes_every_change_back(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    before = text(folder)
    with (folder / "year.toml").open("a", encoding="utf-8") as file:
        file.write("\n[rules.load-step]\nlimit = 2\nweight = 1\n")
    async with opened(folder) as pilot:
        await choose(pilot, "rule", "load-step")
        assert "on, changed by you" in beside(pilot)
        await press(pilot, "d")
        await tried(pilot)
        await press(pilot, "a")
        await choose(pilot, "rule", "order")
        await press(pilot, "d")
        assert "order is as by default already." in told(pilot)
    assert text(folder).strip() == before.strip()


async def test_a_change_with_which_there_is_no_plan_says_so(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    with (folder / "year.toml").open("a", encoding="utf-8") as file:
        file.write('\n[[pin]]\nname = "Long base"\nkind = "base"\nfirst = 2027-05-24\n'
                   "last = 2027-07-04\n")  # fmt: skip
    async with opened(folder) as pilot:
        await choose(pilot, "rule", "base-length")
        await press(pilot, "enter")
        await fill(pilot, "limit", "3 to 4")
        await press(pilot, "ctrl+s")
        await tried(pilot)
        assert "With this change there is no plan." in words(pilot)
        await press(pilot, "x")
    assert "rules" not in text(folder)


async def test_without_a_plan_a_rule_is_changed_at_once(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    (folder / "plan.json").unlink()
    async with opened(folder) as pilot:
        await choose(pilot, "rule", "order")
        await press(pilot, "o")
        assert pilot.app.screen is main(pilot)
        assert "switched off" in told(pilot)
    assert "[rules.order]\non = false" in text(folder)


@pytest.mark.parametrize("code", ["young-fingers", "injury-caps", "session-care"])
async def test_rules_that_keep_from_harm_are_never_changed_without_a_caution(
    tmp_path: Path, code: str
) -> None:
    async with opened(demo(tmp_path), size=(120, 60)) as pilot:
        await choose(pilot, "rule", code)
        assert "Take care: " in beside(pilot)
        await press(pilot, "o")
        await tried(pilot)
        assert "! Under 18" in words(pilot) or "! Ask a doctor" in words(pilot)
        await press(pilot, "x")


async def test_the_chosen_line_bears_a_sign_and_only_that_one(tmp_path: Path) -> None:
    async with opened(demo(tmp_path), size=(80, 24)) as pilot:
        await press(pilot, "4", "down", "down", "up")
        marked = [line for line in screen_text(pilot).splitlines() if "\u203a" in line]
        assert len(marked) == 1
        assert "A strength block" in marked[0]


# --- recipes ----------------------------------------------------------------------------------


async def test_a_recipe_switched_off_leaves_the_sessions(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder, size=(120, 60)) as pilot:
        used = main(pilot).bench.desk.plan
        assert used is not None
        name = used.current.sessions[-1].recipe
        await choose(pilot, "recipe", name)
        await press(pilot, "o")
        await tried(pilot)
        shown = words(pilot)
        assert "Sessions that change" in shown
        assert f"{standard_recipes()[name].name}: " in shown and "→ 0 sessions." in shown
        await press(pilot, "a")
        assert name not in main(pilot).bench.desk.recipes
        await press(pilot, "o")
        await tried(pilot)
        await press(pilot, "a")
        assert name in main(pilot).bench.desk.recipes


async def test_a_recipe_is_changed_and_one_of_ones_own_is_entered(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    (folder / "plan.json").unlink()  # kept at once
    async with opened(folder) as pilot:
        await choose(pilot, "recipe", "mobility")
        await press(pilot, "enter")
        await fill(pilot, "minutes", "20")
        await press(pilot, "ctrl+s")
        assert main(pilot).bench.desk.recipes["mobility"].minutes == 20
        await press(pilot, "end", "enter")
        for key, said in {
            "name": "Stairs", "kinds": "base", "minutes": "40", "rpe": "5",
            "qualities.fitness": "100 %", "stresses.whole_body": "2", "needs": "nothing",
        }.items():  # fmt: skip
            await fill(pilot, key, said)
        await press(pilot, "ctrl+s")
        stairs = main(pilot).bench.desk.recipes["stairs"]
        assert (stairs.minutes, stairs.qualities) == (40, {"fitness": 1.0})
    assert "[recipes.stairs]" in text(folder) or "stairs = {" in text(folder)
