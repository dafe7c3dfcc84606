"""What is typed in a form and not written down outlives the program that ends without a word."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from filling import field, fill, form, open_form, text
from stage import bench, demo, main, opened, press, told, typed, until, words

from tui.forms.screen import FormScreen
from tui.forms.unfinished import FILE, Typed, Unfinished


def kept(folder: Path) -> dict[str, dict[str, str]]:
    """The words that are kept of each form."""
    path = folder / FILE
    found = json.loads(path.read_text(encoding="utf-8")) if path.exists() else {}
    return {key: one["words"] for key, one in found.items()}


async def begun(folder: Path, key: str, **said: str) -> None:
    """Type into a form, and end the program without leaving it."""
    async with opened(folder) as pilot:
        await open_form(pilot, key, said)
        await until(pilot, lambda: kept(folder).get(key) == said)


async def test_a_form_is_offered_again_with_every_word_and_can_be_written_down(
    tmp_path: Path,
) -> None:
    folder = demo(tmp_path)
    before = text(folder)
    await begun(folder, "new absence", name="Night shifts", first="next friday", last="in 2 w")
    assert text(folder) == before
    async with opened(folder) as pilot:
        assert "You were writing and did not finish." in words(pilot)
        assert "Night shifts, next friday, in 2 w" in words(pilot)
        await press(pilot, "enter")
        assert field(pilot, "first").words == "next friday"
        await fill(pilot, "last", "in 2 weeks")
        await press(pilot, "ctrl+s")
        assert "Night shifts" in text(folder)
    assert not (folder / FILE).exists()


async def test_later_leaves_it_and_the_form_itself_brings_it_back(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    await begun(folder, "goal long-traverse", note="after the rain")
    async with opened(folder) as pilot:
        await press(pilot, "down", "enter")
        assert kept(folder)
        await open_form(pilot, "goal long-traverse")
        assert field(pilot, "note").words == "after the rain"
        assert "as you left it unfinished" in words(pilot)


async def test_it_can_be_thrown_away(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    await begun(folder, "new goal", name="Slow Lightning")
    async with opened(folder) as pilot:
        await press(pilot, "down", "down", "enter")
        await until(pilot, lambda: not (folder / FILE).exists())
    async with opened(folder) as pilot:
        assert "did not finish" not in words(pilot)


@pytest.mark.parametrize("leave", [["escape", "down", "enter"], ["ctrl+s"]])
async def test_a_form_that_was_left_or_written_is_not_kept(
    tmp_path: Path, leave: list[str]
) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await open_form(pilot, "goal long-traverse", {"note": "x"})
        await until(pilot, lambda: kept(folder))
        await press(pilot, *leave)
        assert not isinstance(pilot.app.screen, FormScreen)
        await until(pilot, lambda: not kept(folder))


async def test_words_taken_back_are_not_kept(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await open_form(pilot, "goal long-traverse", {"note": "x"})
        await until(pilot, lambda: kept(folder))
        await press(pilot, "backspace")
        await until(pilot, lambda: not kept(folder))


async def test_a_form_about_something_that_is_gone_tells_what_was_written(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    await begun(folder, "absence trade-fair", note="take rope")
    changed = text(folder).replace('id = "trade-fair"', 'id = "autumn-fair"')
    (folder / "year.toml").write_text(changed, encoding="utf-8")
    async with opened(folder) as pilot:
        await press(pilot, "enter")
        assert "You had written: take rope" in told(pilot)
        assert kept(folder)


async def test_a_rule_is_kept_until_its_trial_is_over(tmp_path: Path) -> None:
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await press(pilot, "4")
        main(pilot).query_one("RulesPage").point("rule rest-every")  # type: ignore[attr-defined]
        await press(pilot, "enter")
        await fill(pilot, "limit", "12")
        await until(pilot, lambda: kept(folder))
        await press(pilot, "ctrl+s")
        assert kept(folder) == {"rule rest-every": {"limit": "12"}}
        await press(pilot, "escape")
        await until(pilot, lambda: not kept(folder))


async def test_the_questions_of_a_first_year_are_kept_too(tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    async with opened(folder) as pilot:
        await press(pilot, "enter")
        await typed(pilot, "Ada")
        await until(pilot, lambda: kept(folder) == {"begin": {"climber.name": "Ada"}})
    async with opened(folder) as pilot:
        assert "Go on with my year" in words(pilot)
        await press(pilot, "enter")
        assert field(pilot, "climber.name").words == "Ada"
        await press(pilot, "ctrl+s")
        await until(pilot, lambda: "plan 1 stands" in words(pilot))
    assert not (folder / FILE).exists()


# --- the file ---------------------------------------------------------------------------------


def test_a_word_typed_later_is_never_overwritten_by_one_typed_before(tmp_path: Path) -> None:
    notes = Unfinished(tmp_path)
    early, late = notes.turn(), notes.turn()
    notes.keep("new goal", Typed(title="t", words={"name": "AB"}), turn=late)
    notes.keep("new goal", Typed(title="t", words={"name": "A"}), turn=early)
    assert kept(tmp_path) == {"new goal": {"name": "AB"}}


@pytest.mark.parametrize("content", ["", "{", "[]", '{"a": 1}', '{"a": {"title": "x"}}', "\x00"])
def test_a_file_that_cannot_be_read_is_no_form(tmp_path: Path, content: str) -> None:
    (tmp_path / FILE).write_text(content)
    assert Unfinished(tmp_path).all() == {}


async def test_a_folder_that_cannot_be_written_to_lets_one_type_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from seasonplan.errors import CannotWrite

    def full(path: Path, _: bytes) -> None:
        raise CannotWrite(str(path), "No space left on device")

    monkeypatch.setattr("tui.forms.unfinished.write_output", full)
    folder = demo(tmp_path)
    async with opened(folder) as pilot:
        await open_form(pilot, "new goal", {"name": "Slow Lightning"})
        assert form(pilot).values()["name"] == "Slow Lightning"
        assert bench(pilot).unfinished.all() == {}
