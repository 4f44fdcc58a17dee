import pytest


def found(district, text, water=""):
    one = district.find([text], water)
    return one.code[0], one.problem[0], one.near[0]


@pytest.mark.parametrize(
    ("text", "water", "code"),
    [
        ("FER1", "", "FER1"),
        ("fer-1", "", "FER1"),
        ("Ferrow Tarn, south bay", "", "FER2"),
        ("SOUTH BAY", "Ferrow Tarn 2025", "FER2"),
        ("south bay", "FER", "FER2"),
        ("outlet", "Ferrow Tarn", "FER3"),
        ("Tarrick Pond", "", "TAR1"),
        ("tar", "", "TAR1"),
    ],
)
def test_a_station_is_found_by_code_by_name_and_by_what_its_water_leaves_no_doubt_about(
    district, text, water, code
):
    assert found(district, text, water) == (code, "", "")


@pytest.mark.parametrize("text", ["south bay", "Greenlow Pond", "middle"])
def test_a_name_that_several_stations_have_is_a_question(district, text):
    code, problem, near = found(district, text)
    assert (code, problem) == ("", "several_stations")
    assert len(near.split(", ")) > 1


@pytest.mark.parametrize(
    ("text", "water", "near"),
    [
        ("Ferow Tarn S bay", "Ferrow Tarn 2025", "FER2"),
        ("GR2", "", "GRE2"),
        ("Tarick Pond", "", "TAR1"),
        ("???", "", ""),
    ],
)
def test_a_name_that_only_resembles_one_waits_with_the_nearest(district, text, water, near):
    assert found(district, text, water) == ("", "unknown_sheet_station", near)


def test_a_code_of_another_water_is_itself_whatever_the_title_says(district):
    assert found(district, "GRE1", "Ferrow Tarn 2025")[0] == "GRE1"


def test_an_empty_cell_is_no_station(district):
    assert found(district, "")[1] == "no_station"
