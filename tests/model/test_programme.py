import re

import pytest

from explorer.model.errors import ProgrammeError
from explorer.model.programme import Programme
from explorer.model.programme_text import read_programme


def test_read_programme_without_settings_is_the_usual_one():
    assert read_programme("") == Programme()


def test_read_programme_with_a_season_across_new_year():
    programme = read_programme("season_months = [11, 12, 1, 2]")
    assert programme.season.crosses_new_year


def test_a_language_without_all_sentences_is_not_mixed_into_the_office_s_own_screens():
    assert read_programme('language = "de"', "programme.toml").office_language == "en"
    assert read_programme('language = "de"', "programme.toml").language == "de"
    assert read_programme("", "programme.toml").practice_rules.language == "en"


def test_read_programme_with_its_own_quantity_adds_it():
    text = '[quantities.calcium]\nname = "Calcium"\nunit = "mg/L"\nplausible = [0.1, 300]\n'
    quantity = read_programme(text).quantities["calcium"]
    assert (quantity.name, quantity.unit, quantity.plausible) == ("Calcium", "mg/L", (0.1, 300.0))


def test_read_programme_with_methods_that_it_calls_comparable():
    groups = read_programme('comparable_methods = [["old lab", "new lab"]]').comparable_methods
    assert groups == (("old lab", "new lab"),)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("minimum_visit = 3", '"minimum_visit": there is no such setting. Did you mean "minimum_visits"?'),
        ("\nminimum_visits = 0", 'line 2, "minimum_visits": found 0. Write a whole number of 1 or more.'),
        ('length_unit = "yard"', "line 1, \"length_unit\": found 'yard'"),
        ("season_months = [5, 7]", 'line 1, "season_months": A season is months that follow one another'),
        ('season_months = ["May"]', 'line 1, "season_months"'),
        ("minimum_visits = true", 'line 1, "minimum_visits": found True. Write a whole number.'),
        ("name = ", "cannot be read as TOML"),
        ('comparable_methods = ["disk"]', 'line 1, "comparable_methods": found [\'disk\']. Write [["one'),
        ('[quantities.calcium]\nname = "Calcium"', "line 1, \"calcium\": the quantity needs 'unit'"),
        ('[quantities.calcium]\nname = "C"\nunit = "mgl"', 'No unit "mgl"'),
        (
            "[practice]\nreading = 5",
            'line 2, "reading": [practice] has no such key. Did you mean "readings"?',
        ),
        ('[practice]\nline = "feet"', 'line 2, "line": found \'feet\'. Write one of "decimetres", "tenths"'),
        ("[practice]\nboat_side = 1", 'line 2, "boat_side": found 1. Write one of "shaded", "sunny".'),
        ("[practice]\nviewer = 1", 'line 2, "viewer": found 1. Write true or false.'),
        ("[practice]\n\nreadings = 1", 'line 3, "readings": found 1. Write a whole number from 2 to 10.'),
        ("[practice]\nreadings = true", 'line 2, "readings": found True. Write a whole number'),
        (
            "[practice]\nmost_vacuum_kpa = 80",
            'line 2, "most_vacuum_kpa": found 80. Write a number from 0.1 to',
        ),
        ("[practice]\nmost_vacuum_kpa = nan", 'line 2, "most_vacuum_kpa": found nan'),
        ("practice = 5", 'line 1, "practice": found 5. Write a table'),
        ('[quantities.calcium]\ncolour = "red"', 'line 2, "colour": a quantity has no such key'),
        *(
            (f'[quantities.calcium]\nname = "Calcium"\nunit = "mg/L"\n{line}', f"line 4, {said}")
            for line, said in (
                ('names = "calcium"', "\"names\": found 'calcium'. Write a list of texts"),
                ('log_scale = "false"', "\"log_scale\": found 'false'. Write true or false."),
                ('higher_is_worse = "yes"', "\"higher_is_worse\": found 'yes'. Write true or false."),
                ("decimals = -1", '"decimals": found -1. Write a whole number from 0 to 6.'),
                ("decimals = 1.5", '"decimals": found 1.5'),
                ("plausible = [300, 0.1]", '"plausible": found [300, 0.1]. Write the lowest and the highest'),
                ("plausible = [0.1]", '"plausible": found [0.1]'),
                ('exchange_name = ["Calcium"]', "\"exchange_name\": found ['Calcium']. Write a text"),
            )
        ),
        ("deviation_step = 0", 'line 1, "deviation_step": found 0. Write a number above 0.'),
    ],
)
def test_read_programme_with_a_mistake_names_line_key_and_cure(text, said):
    with pytest.raises(ProgrammeError) as caught:
        read_programme(text, "programme.toml")
    assert said in str(caught.value)
    assert "programme.toml" in str(caught.value)


def test_practice_of_a_programme_is_its_table_over_its_unit_and_language():
    text = 'length_unit = "ft"\n[practice]\nboat_side = "sunny"\nsettle = "back"\nmost_vacuum_kpa = 15\n'
    rules = read_programme(text).practice_rules
    assert (rules.line, rules.boat_side, rules.settle, rules.most_vacuum_kpa) == (
        "tenths",
        "sunny",
        "back",
        15,
    )
    assert read_programme('length_unit = "ft"\n[practice]\nline = "inches"').practice_rules.line == "inches"


WRONG = """
name = Lake Office
trend_years = 0
min_visits = 4

[quantities.silica]
name = "Silica"
unit = "mg/X"
decimals = 1

[quantities.boron]
name = "Boron"
unit = "mg/L"
decimal = 1
decimals = "two"

[plan]
quantities = ["secchi_depth", "silika"]
months = [5, 13]
blanks_a_month = -1

[plan.stations]
HOL1 = { months = [0] }
HOL2 = { visit = 2 }

[quality]
duplicate_limit_percent = "a lot"
bottle = "warm"

[[quality.holding_times]]
quantity = "total_nitrogen"
container = "bottle"
preservation = "frozen"
days = 60
source = "Plan"

[[quality.holding_times]]
quantity = "total_nitrogn"
container = "jar"
preservation = "frozen"
days = -1

[[quality.extract_limits]]
quantity = "chlorophyll_b"
limit_ug_per_l = 0
volume_filtered_ml = 200
extract_volume_ml = 20
source = "Plan"

[labels]
page = "a3"
columns = 0
rows = 7
width = "wide"
height = "38.1 mm"
left = "7.25 mm"
top = 15

[practice]
line = "feet"
readings = 1
"""
WRONG_AT = (
    "2 cannot", "3 trend_years", "4 min_visits", "8 unit", "14 decimal", "15 decimals", "18 quantities",
    "19 months", "20 blanks_a_month", "23 months", "24 visit", "27 duplicate_limit_percent", "28 bottle",
    "38 quantity", "39 container", "41 days", "37 holding_times", "44 quantity", "45 limit_ug_per_l",
    "51 page", "52 columns", "54 width", "57 top", "60 line", "61 readings",
)  # fmt: skip


def test_all_mistakes_of_one_file_are_named_at_once_each_with_its_own_line():
    with pytest.raises(ProgrammeError) as caught:
        read_programme(WRONG, "own.toml")
    said = str(caught.value).splitlines()
    places = [re.match(r'own.toml, line (\d+), "(\w+)": ', each) for each in said]
    found = {" ".join(each.groups()) for each in places if each}
    assert found == set(WRONG_AT) - {"2 cannot"}
    assert [each for each, place in zip(said, places, strict=True) if not place] == [
        "own.toml cannot be read as TOML: Invalid value (at line 2, column 8). Correct that line."
    ]


def test_bracket_that_does_not_close_hides_what_follows_and_invents_nothing():
    with pytest.raises(ProgrammeError) as caught:
        read_programme("trend_years = 0\nseason_months = [5, 6\nminimum_visits = 3\n")
    assert len(str(caught.value).splitlines()) == 1


def test_quantity_that_is_wrong_is_known_where_others_name_it():
    text = (
        '[quantities.silica]\nname = "Silica"\nunit = "mg/X"\n[plan]\nquantities = ["secchi_depth", "silica"]'
    )
    with pytest.raises(ProgrammeError) as caught:
        read_programme(text)
    assert len(str(caught.value).splitlines()) == 1
