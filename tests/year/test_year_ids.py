"""Ids made from names of any language, and the ids that older files had."""

from __future__ import annotations

from unicodedata import normalize

import pytest
from test_year_file import GOAL
from test_year_file import HEAD as OLD_HEAD

from seasonplan.edits import AddEntry, apply, draft_of
from seasonplan.errors import BadInput
from seasonplan.year import slug
from seasonplan.year.toml import read_year

HEAD = OLD_HEAD.removeprefix("schema = 1\n")
TRIP = """[[trip]]
name = "{}"
first = 2026-03-02
last = 2026-03-08
place = "Karst"
discipline = "sport"
"""


def ids(text: str) -> list[str]:
    return [trip.id for trip in read_year(text, file="year.toml").trips]


@pytest.mark.parametrize(("name", "made"), [
    ("Höhle", "hohle"), ("Grüne Wand", "grune-wand"), ("Été à l'île", "ete-a-l-ile"),
    ("Łódź", "lodz"), ("Rødøya", "rodoya"), ("Weiße Wand", "weisse-wand"), ("Český", "cesky"),
    ("Æsir", "aesir"), ("Ħal Għaxaq", "hal-ghaxaq"), ("İzmir", "izmir"), ("Đà Nẵng", "da-nang"),
    ("\uff29\uff53le", "isle"), ("Isle 2", "isle-2"), ("⛰ Isle!", "isle"),
])  # fmt: skip
def test_letters_of_other_languages_keep_their_base_in_an_id(name: str, made: str) -> None:
    # decompositions and compatibility forms: Unicode Standard Annex 15; letters without one
    # (ł, ø, ß ...) by what is read in their place: common practice, no source
    assert slug(name) == slug(normalize("NFD", name)) == slug(name.upper()) == made


def test_names_without_latin_letters_get_ids_of_their_own() -> None:
    names = ["岩場", "岩壁", "Скала", "Σπηλιά", "מערה", "كهف", "चट्टान", "Isle 岩", "Isle 山", "?"]
    made = [slug(name) for name in names]
    assert len(set(made)) == len(names)
    assert made[7].startswith("isle-") and made[0].startswith("entry-")
    assert ids(HEAD + "".join(TRIP.format(name) for name in names)) == made


def test_an_old_file_keeps_the_ids_it_made_of_its_names() -> None:
    old = "schema = 1\n" + HEAD + TRIP.format("Höhle") + TRIP.format("岩場")
    assert ids(old) == ["h-hle", "entry"]
    assert ids(old.replace("schema = 1", "schema = 2"))[0] == "hohle"
    served = GOAL + 'served_by = ["h-hle"]\n'
    assert read_year(old + served, file="year.toml").goals[0].served_by == ("h-hle",)


def test_a_file_without_its_schema_keeps_the_old_ids_it_names() -> None:
    year = HEAD + TRIP.format("Höhle") + TRIP.format("Wände") + GOAL
    assert ids(year) == ["hohle", "wande"]
    assert ids(year + 'served_by = ["h-hle"]\n') == ["h-hle", "wande"]


def test_an_id_that_is_written_stands_in_every_schema() -> None:
    for schema in ("", "schema = 1\n", "schema = 2\n"):
        assert ids(schema + HEAD + TRIP.format("Höhle") + 'id = "cave"\n') == ["cave"]


def test_an_entry_added_to_an_old_file_gets_the_id_that_is_told() -> None:
    old = "schema = 1\n" + HEAD + TRIP.format("Höhle")
    values = {"name": "Wände", "first": "2026-05-04", "last": "2026-05-10", "climbing": False}
    text = apply(draft_of(old), AddEntry(section="trip", values=values)).text
    assert 'id = "wande"' in text and ids(text) == ["h-hle", "wande"]


def test_a_place_keeps_what_its_id_begins_with() -> None:
    place = 'name = "Höhle"\nwhat = "wall"\n'
    for schema, made in (("schema = 1\n", "place-h-hle"), ("", "place-hohle")):
        year = read_year(f"{schema}{HEAD}[[place]]\n{place}", file="year.toml")
        assert [one.id for one in year.places] == [made]
    text = apply(
        draft_of(HEAD), AddEntry(section="place", values={"name": "Höhle", "what": "wall"})
    ).text
    assert read_year(text, file="year.toml").places[0].id == "place-hohle"


def test_an_unknown_id_is_told_beside_the_ids_that_there_are() -> None:
    with pytest.raises(BadInput, match="hohle"):
        read_year(HEAD + TRIP.format("Höhle") + GOAL + 'served_by = ["höhle"]\n', file="x")
