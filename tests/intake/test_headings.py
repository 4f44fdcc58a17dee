import tomllib
from pathlib import Path

import pytest

from explorer.intake.heading_forms import folded
from explorer.intake.heading_list import documented_names
from explorer.intake.headings import KINDS
from explorer.intake.own_headings import heading_names
from explorer.model.errors import ProgrammeError
from explorer.model.quantities import QUANTITIES
from explorer.model.units import UNITS

NAMES = documented_names()
LISTED = tomllib.loads(
    (Path(__file__).parents[2] / "explorer/intake/headings.toml").read_text(encoding="utf-8")
)


def meaning(heading, kind="data_sheet", names=NAMES):
    found = names.meaning(heading, kind)
    return found.quantity or found.role, found.unit


@pytest.mark.parametrize("kind", KINDS)
def test_every_documented_name_means_its_role_in_any_case_and_with_any_marks(kind):
    for role, names in {**LISTED["everywhere"], **LISTED[kind]}.items():
        for name in names:
            if any(name in more for other, more in LISTED[kind].items() if other != role):
                continue  # this kind of file has another use for the name
            for written in (name, name.upper(), name.replace(" ", "_"), f" {name}. "):
                assert NAMES.meaning(written, kind).role == role, (kind, written)


def test_every_quantity_is_known_by_all_its_names_and_with_its_unit():
    first: dict[str, str] = {}
    for quantity in QUANTITIES.values():
        for name in (quantity.code, quantity.name, *quantity.names):
            first.setdefault(folded(name), quantity.code)
    for quantity in QUANTITIES.values():
        for name in (quantity.code, quantity.name, *quantity.names):
            found = NAMES.meaning(f"{name} ({quantity.unit})", "laboratory")
            assert found.unit == quantity.unit, name
            if first[folded(name)] == quantity.code and folded(name) != "do %":
                assert found.quantity == quantity.code, name


def test_documented_lists_name_known_things_only():
    assert set(LISTED["quantities"]) <= set(QUANTITIES)
    assert set(LISTED["units"].values()) <= {*UNITS, "ft in"}
    assert set(LISTED["qualifiers"].values()) <= {"below", "above", "estimated", "rejected", "kept"}
    assert LISTED["format"] == 1


@pytest.mark.parametrize(
    ("heading", "wanted"),
    [
        ("Secchi (ft)", ("secchi_depth", "ft")),
        ("Secchi_m", ("secchi_depth", "m")),
        ("disk m", ("secchi_depth", "m")),
        ("Secchi, tenths of feet", ("secchi_depth", "ft")),
        ("Secchi (feet and tenths)", ("secchi_depth", "ft")),
        ("Secchi (mm)", ("secchi_depth", "mm")),
        ("Total (mL)", ("volume_filtered", "mL")),
        ("Date Time", ("date", "")),
        ("Date (MM/DD/YYYY)", ("date", "month/day/year")),
        ("Date dd.mm.yy", ("date", "day/month/year")),
        ("Time (HH:MM:SS)", ("time", "")),
        ("Time, 24 h", ("time", "")),
        ("Secchi (feet and inches)", ("secchi_depth", "ft in")),
        ("Temp F", ("water_temperature", "°F")),
        ("water °C", ("water_temperature", "°C")),
        ("Water", ("water", "")),
        ("TP ug/L as P", ("total_phosphorus", "µg/L")),
        ("TP_ugL", ("total_phosphorus", "µg/L")),
        ("DO (%)", ("oxygen_saturation", "%")),
        ("DO mg/L", ("dissolved_oxygen", "mg/L")),
        ("mL", ("volume_filtered", "mL")),
        ("Tempé", ("", "")),
        ("", ("", "")),
        ("(m)", ("", "")),
    ],
)
def test_a_heading_with_its_unit_is_understood(heading, wanted):
    assert meaning(heading) == wanted


def test_a_limit_or_mark_of_a_quantity_names_both():
    found = NAMES.meaning("TP flag", "laboratory")
    assert (found.role, found.quantity) == ("qualifier", "total_phosphorus")


def test_nearest_name_of_a_misspelt_heading_is_found():
    assert NAMES.nearest("Sechi (ft)", "data_sheet") == "secchi"
    assert NAMES.nearest("Obsrver", "data_sheet") == "observer"


def test_a_programme_adds_names_units_marks_words_and_columns_to_pass_over():
    own = heading_names(
        {
            "station": ["paraje"],
            "secchi_depth": ["Disco"],
            "left_out": ["office use"],
            "units": {"disco": "feet"},
            "qualifiers": {"K": "below"},
            "words": {"on_bottom": ["al fondo"]},
        }
    )
    assert meaning("PARAJE", names=own) == ("station", "")
    assert meaning("disco", names=own) == ("secchi_depth", "ft")
    assert meaning("Office use", names=own) == ("left_out", "")
    assert own.qualifiers["K"] == "below"
    assert own.words["on_bottom"][-1:] != NAMES.words["on_bottom"]
    assert "al fondo" in own.words["on_bottom"]
    assert meaning("Secchi (ft)", names=own) == meaning("Secchi (ft)")


def test_a_programme_may_use_a_documented_name_for_a_quantity_of_its_own():
    own = heading_names({"turbidity": ["depth"]})
    assert meaning("Depth (NTU)", "probe", own) == ("turbidity", "NTU")


@pytest.mark.parametrize(
    ("own", "message"),
    [
        ({"sechi_depth": ["disco"]}, 'Did you mean "secchi_depth"?'),
        ({"station": "paraje"}, "Write a list of texts"),
        ({"units": {"disco": "furlong"}}, "is no unit"),
        ({"qualifiers": {"K": "blow"}}, 'Did you mean "below"?'),
        ({"words": {"on_botom": ["x"]}}, 'Did you mean "on_bottom"?'),
        ({"units": ["m"]}, r"\[headings.units\]"),
    ],
)
def test_a_mistake_in_a_programme_s_names_is_named(own, message):
    with pytest.raises(ProgrammeError, match=message):
        heading_names(own)
