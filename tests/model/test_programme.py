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
            (f'[quantities.calcium]\nname = "Calcium"\nunit = "mg/L"\n{line}', f'line 1, "calcium": {said}')
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
