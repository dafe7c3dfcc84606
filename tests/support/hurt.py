"""An injury as the file of a year has it."""

from __future__ import annotations

STEPS = ("easy_from", "building_from", "full_from")


def hurt_text(name: str, part: str, happened: str, *days: str, **more: str) -> str:
    """The lines of an injury, an empty one before them; `days` are those of its return."""
    words = {"name": name, "part": part, **more}
    said = {key: f'"{word}"' for key, word in words.items()}
    said |= {"happened": happened, **dict(zip(STEPS, days, strict=False))}
    return "\n[[injury]]\n" + "".join(f"{key} = {value}\n" for key, value in said.items())
