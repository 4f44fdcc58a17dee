import pytest

HEADING = "Depth (m),Temp C,DO mg/L,DO %"


def profile(found, *names):
    return found.tables[0].entries[list(names)].to_numpy().tolist()


def test_a_profile_with_its_station_and_day_above_is_read(read):
    found = read(
        "Station: HOL1",
        "Date: 2025-07-11",
        "Probe,SN 12",
        "Calibrated,2025-07-10",
        "",
        HEADING,
        "0.5,22.1,8.1,93",
        "10,9.0,0.2,2",
    )
    assert found.tables[0].kind == "probe"
    assert profile(found, "station_code", "depth_m", "stratum", "quantity", "value")[:2] == [
        ["HOL1", 0.5, "profile", "water_temperature", 22.1],
        ["HOL1", 0.5, "profile", "dissolved_oxygen", 8.1],
    ]
    assert profile(found, "method")[0] == ["probe SN 12"]
    assert found.tables[0].visits["calibrated_on"].tolist() == ["2025-07-10"] * 2
    assert found.problems == ()


@pytest.mark.parametrize(
    "above",
    [
        ("Air check before: 100.4 %", "Air check after: 98.7 %"),
        ("In air before,100.4 %", "In air after,98.7 %"),
    ],
)
def test_the_probe_s_check_in_air_stands_in_the_remark_of_the_visit(read, above):
    found = read("Station: HOL1", "Date: 2025-07-11", *above, "", HEADING, "0.5,22.1,8.1,93", "1,22,8,92")
    remarks = set(found.tables[0].entries["remark"])
    assert remarks == {"Air check before: 100.4 %; Air check after: 98.7 %"}
    assert found.problems == ()


def test_a_check_in_air_in_columns_keeps_its_heading(read):
    found = read(
        "Site,Date,Depth (m),DO mg/L,Remarks,In air before,In air after",
        "HOL1,2025-07-11,1,8.0,calm,100,99", "HOL1,2025-07-11,2,7.9,calm,100,99",
    )  # fmt: skip
    assert set(found.tables[0].entries["remark"]) == {"calm; In air before: 100; In air after: 99"}


def test_a_profile_with_columns_for_station_and_day_in_feet_and_fahrenheit_is_converted(read):
    found = read("Site,Date,Depth (ft),Temp F", "HOL1,2025-07-11,10,50", "VEL1,2025-07-12,0,68")
    assert profile(found, "station_code", "depth_m", "value") == [
        ["HOL1", pytest.approx(3.048), pytest.approx(10)],
        ["VEL1", 0, pytest.approx(20)],
    ]


@pytest.mark.parametrize(
    ("depth", "code"),
    [("", "no_depth"), ("bottom", "not_a_depth"), ("> 5", "not_a_depth"), ("-1", "depth_not_above_zero")],
)
def test_a_row_without_its_depth_waits_with_its_values(read, depth, code):
    found = read("Station: HOL1", "Date: 2025-07-11", "", HEADING, f"{depth},22.1,8.1,93", "1,22,8,92")
    assert [row[0] for row in profile(found, "status")] == ["held"] * 3 + ["accepted"] * 3
    assert code in [each.code for each in found.problems]
    assert profile(found, "value")[0] == [22.1]


def test_a_row_waits_for_what_keeps_its_depth_from_being_read(read):
    found = read("Station: HOL1", "Date: 2025-07-11", "", "Depth,Temp (C)", "1,22.1", "2,21")
    assert [row[0] for row in profile(found, "reason")] == ["no_depth_unit"] * 2


def test_an_ambiguous_day_above_the_table_is_one_question_that_holds_all(read):
    found = read("Station: HOL1", "Date: 3/4/2025", "", HEADING, "0.5,22.1,8.1,93", "1,22,8,92")
    assert {row[0] for row in profile(found, "status")} == {"held"}
    assert [(each.code, each.source.row, each.values.get("count")) for each in found.problems] == [
        ("ambiguous_sheet_date", 2, 2)
    ]


def test_oxygen_in_percent_is_never_taken_for_milligrams(read):
    found = read("Station: HOL1", "Date: 2025-07-11", "", "Depth (m),DO (%)", "0.5,93")
    assert profile(found, "quantity", "value") == [["oxygen_saturation", 93]]
