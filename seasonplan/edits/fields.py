"""What a place of `year.toml` takes: typed words become the value that the place wants.

Judges nothing: what fits nowhere is handed on, and reading the year says what is wrong with it.
"""

from __future__ import annotations

from datetime import date
from typing import Any, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError
from pydantic.fields import FieldInfo

from seasonplan.toml_source import value_of
from seasonplan.year import Year
from seasonplan.year.model import ENTRY_FIELDS

OWN = ("schema", "rules", "recipes", *ENTRY_FIELDS)  # parts with edits of their own, or none


def typed(words: str, *place: str) -> Any:
    """The value meant by words typed for a place such as ("trip", "first")."""
    takes = _adapter(place)
    for value in _readings(words):
        found = _accepted(value, takes)
        if found is not None:
            return found
    return _readings(words)[0]


def natural(value: Any, *place: str) -> Any:
    """A value as the file would have it: a date for the text of one."""
    found = _accepted(value, _adapter(place))
    return value if found is None else found


def settings() -> tuple[str, ...]:
    """Every setting with a name of its own, as "climber.time_zone"; open tables as a whole."""
    return tuple(_settings(Year, ()))


def is_setting(place: tuple[str, ...]) -> bool:
    return place[0] not in OWN and _adapter(place) is not None and len(place) > 1


def _settings(model: type[BaseModel], place: tuple[str, ...]) -> list[str]:
    found: list[str] = []
    for name, field in model.model_fields.items():
        here = (*place, field.alias or name)
        if here[0] in OWN:
            continue
        below = None if field.metadata else _model_of(field)  # with a validator it is one value
        if below is not None and get_origin(field.annotation) is not dict:
            found += _settings(below, here)
        else:
            found.append(".".join(here))
    return found


def _readings(words: str) -> list[Any]:
    """The words as TOML, as they are, as a list of TOML, and as a list of words."""
    parts = [part.strip() for part in words.split(",")]
    found = (value_of(words), words, value_of(f"[{words}]"), parts)
    return [value for value in found if value is not None]


def _accepted(value: Any, takes: TypeAdapter[Any] | None) -> Any:
    """The value to write down if the place takes it, else None."""
    if takes is None:
        return value
    try:
        found = takes.validate_python(value)
    except ValidationError:
        return None
    return found if type(found) in (date, str) else value


def _adapter(place: tuple[str, ...]) -> TypeAdapter[Any] | None:
    """Reads what a place takes; None for a place that is not there."""
    above, own_key = _model_at(place[:-1]), None
    if above is None:
        parent = _field(_model_at(place[:-2]), place[-2]) if len(place) > 1 else None
        own_key = _value_of(parent) if parent else None
        return TypeAdapter(own_key) if own_key is not None else None
    field = _field(above, place[-1])
    return TypeAdapter(field.rebuild_annotation()) if field else None


def _model_at(place: tuple[str, ...]) -> type[BaseModel] | None:
    """The model whose fields stand at a place: (), ("trip",), ("rules", "order")."""
    model: type[BaseModel] | None = Year
    own_key = False
    for part in place:
        if own_key:
            own_key = False
            continue
        field = _field(model, part)
        if field is None:
            return None
        own_key = get_origin(field.annotation) is dict
        model = _model_of(field)
    return model


def _field(model: type[BaseModel] | None, name: str) -> FieldInfo | None:
    fields = model.model_fields if model else {}
    return next((field for own, field in fields.items() if (field.alias or own) == name), None)


def _model_of(field: FieldInfo) -> type[BaseModel] | None:
    kinds = (field.annotation, *get_args(field.annotation))
    return next((k for k in kinds if isinstance(k, type) and issubclass(k, BaseModel)), None)


def _value_of(field: FieldInfo) -> Any:
    """What each value of an open table such as `level` takes."""
    found = get_args(field.annotation) if get_origin(field.annotation) is dict else ()
    return found[1] if found else None
