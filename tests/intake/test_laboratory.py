from pathlib import Path

import pandas as pd
import pytest

from explorer.intake.file_rows import LABORATORY_ENTRIES
from explorer.intake.own_headings import heading_names
from explorer.intake.sample_codes import sample_code

RULES = pd.read_csv(Path(__file__).parents[1] / "published" / "data_quality_rules.csv", dtype=str).set_index(
    "id"
)
BOTTLE, FILTER, SECOND = (sample_code(2025, 12, container) for container in (1, 2, 3))
LONG = "SampleID,Analyte,Result,Flag,MDL,RL,Units,Analysis_Date"


def entries(found, *names):
    names = names or ("value", "sign", "status", "reason")
    return found.tables[0].entries[list(names)].to_numpy().tolist()


def codes(found):
    return [each.code for each in found.problems]


def long(read, *rows):
    return read(LONG, *(f"{BOTTLE},{row}" for row in rows))


def test_a_long_file_gives_results_in_record_units_with_limits_and_sample(read):
    found = long(read, "TN,0.679,,0.03,0.06,mg/L,20250427", "Total Phosphorus,3,J,2,4,ug/L,20250427")
    frame = found.tables[0].entries
    assert list(frame.columns) == list(LABORATORY_ENTRIES)
    nitrogen, phosphorus = frame.to_dict("records")
    assert (nitrogen["quantity"], nitrogen["unit_as_written"], nitrogen["as_written"]) == (
        "total_nitrogen",
        "mg/L",
        "0.679",
    )
    assert [nitrogen[name] for name in ("value", "detection_limit", "reporting_limit")] == pytest.approx(
        [679, 30, 60]
    )
    assert (phosphorus["value"], phosphorus["estimated"], phosphorus["qualifier"]) == (3, True, "J")
    assert (nitrogen["sample_code"], str(nitrogen["analysed_on"].date()), nitrogen["station_code"]) == (
        BOTTLE,
        "2025-04-27",
        "",
    )
    assert pd.isna(nitrogen["taken_on"])
    assert (nitrogen["file_name"], nitrogen["row"], nitrogen["column"]) == ("sheet.csv", 2, "Result")
    assert found.problems == ()


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("TP,<5,,,,ug/L,", [5, "<", "accepted", ""]),
        ("TP,5,U,2,4,ug/L,", [5, "<", "accepted", ""]),
        ("TP,ND,,2,4,ug/L,", [2, "<", "accepted", ""]),
        ("TP,ND,,,4,ug/L,", [4, "<", "accepted", ""]),
        ("TP,<RL,,2,4,ug/L,", [4, "<", "accepted", ""]),
        ("TP,,U,2,4,ug/L,", [2, "<", "accepted", ""]),
        ("TP,ND (0.002),,,,mg/L,", [2, "<", "accepted", ""]),
        ("TP,> 500,,2,4,ug/L,", [500, ">", "accepted", ""]),
        ("Pheophytin a,-0.8,,0.3,0.9,ug/L,", [-0.8, "=", "accepted", ""]),
        ("TP,7 R,,2,4,ug/L,", [7, "=", "rejected", "rejected_by_laboratory"]),
    ],
)
def test_a_result_below_above_or_at_a_limit_keeps_its_sign(read, row, wanted):
    assert entries(long(read, row)) == [[pytest.approx(wanted[0]), *wanted[1:]]]


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("TP,ND,,,,ug/L,", "limit_missing"),
        ("TP,<RL,,2,,ug/L,", "limit_missing"),
        ("TP,0,,2,4,ug/L,", "not_above_zero"),
        ("TP,-3,,2,4,ug/L,", "not_above_zero"),
        ("TP,1,,2,4,ug/L,", "stands_in"),
        ("TP,1.41,,2,4,ug/L,", "stands_in"),
        ("TP,7 K,,2,4,ug/L,", "unknown_qualifier"),
        ("TP,7,,2,4,,", "no_unit"),
        ("TP,7,,2,4,furlong,", "unknown_unit"),
        ("TP,7,,2,4,NTU,", "wrong_unit"),
        ("Chloride,7,,2,4,mg/L,", "unknown_analyte"),
        ("TP,7?,,2,4,ug/L,", "doubt_marked"),
        ("TP,7,,x,4,ug/L,", "not_a_number"),
        ("TP,above operating range,,2,4,ug/L,", "limit_missing"),
    ],
)
def test_a_doubtful_result_waits_without_a_value(read, row, code):
    found = long(read, row)
    (value, _, status, reason) = entries(found)[0]
    assert pd.isna(value)
    assert (status, reason) == ("held", code)
    assert code in codes(found)


def test_a_stand_in_is_never_stored_as_the_published_rule_says(read):
    assert RULES.loc["DQ33", "note"] == "never store a fake half-limit"
    assert RULES.loc["DQ33", "value"] == "store value absent + detection condition + limit"
    half, told = entries(long(read, "TP,1,,2,4,ug/L,", "TP,1,U,2,4,ug/L,"))
    assert half[2] == "held"
    assert told[:3] == [1, "<", "accepted"]


def test_a_result_below_the_limit_without_a_mark_is_pointed_out(read):
    found = long(read, "TP,1.7,,2,4,ug/L,")
    assert entries(found)[0][:3] == [1.7, "=", "accepted"]
    assert codes(found) == ["below_detection_limit"]


def test_another_unit_in_a_row_or_in_a_cell_is_converted_and_said(read):
    found = long(
        read,
        "TP,40,,2,4,ug/L,",
        "TP,41,,2,4,ug/L,",
        "TP,0.027,,0.002,0.004,mg/L,",
        "TP,42,,2,4,mg/m3,",
        "TP,0.03 mg/L,,2,4,ug/L,",
    )
    assert [row[0] for row in entries(found)] == pytest.approx([40, 41, 27, 42, 30])
    assert codes(found) == ["other_unit", "unit_of_a_row", "unit_spelling"]
    assert entries(found, "detection_limit") == [[pytest.approx(2)]] * 5


def test_a_wide_file_with_a_row_of_units_and_titles_is_read(read):
    found = read(
        "The laboratory,Report",
        "",
        "Lab no.,Your no.,Received,TP,TN",
        ",,,ug/L as P,mg/L as N",
        f"0001,{BOTTLE},2025-04-25,40,0.679",
        f"0002,{SECOND},2025-04-25,<2,",
        "",
        "J,estimated between the limits",
    )
    assert entries(found, "quantity", "value", "sign", "laboratory_number") == [
        ["total_phosphorus", 40, "=", "0001"],
        ["total_nitrogen", pytest.approx(679), "=", "0001"],
        ["total_phosphorus", 2, "<", "0002"],
    ]
    assert codes(found) == ["text_below"]


def test_limits_of_a_wide_file_may_stand_in_rows_of_their_own(read):
    found = read("Sample ID,TP ug/L,TN mg/L", "MDL,2,0.03", "RL,4,0.06", f"{BOTTLE},ND,0.05")
    assert entries(found, "value", "sign", "estimated") == [[2, "<", False], [50, "=", True]]
    assert codes(found) == []


@pytest.mark.parametrize("heading", ["TP ug/L,TP flag,TN mg/L,TN flag", "TP ug/L,Flag,TN mg/L,Flag"])
def test_marks_of_a_wide_file_belong_to_the_results_before_them(read, heading):
    found = read(f"Sample ID,{heading}", f"{BOTTLE},2,U,0.05,J")
    assert entries(found, "sign", "qualifier") == [["<", "U"], ["=", "J"]]


def test_a_mark_that_could_belong_to_any_result_holds_them_all(read):
    found = read("Sample ID,TP ug/L,TN mg/L,Flag", f"{BOTTLE},2,0.05,U", f"{SECOND},2,0.05,")
    assert [row[2] for row in entries(found)] == ["held", "held", "accepted", "accepted"]
    assert codes(found) == ["belongs_to_which"]


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("", "no_sample_code"),
        ("LCS", "sample_code_form"),
        ("250112-1", "sample_code_check"),
        ("25O122-1", "sample_code_letter"),
    ],
)
def test_a_result_without_a_readable_code_waits_with_its_value(read, written, code):
    found = read(LONG, f"{written},TP,7,,2,4,ug/L,")
    assert entries(found, "value", "status", "reason", "sample_code", "sample_as_written") == [
        [7, "held", code, "", written]
    ]
    assert code in codes(found)


def test_a_second_container_is_the_duplicate_of_the_first(read):
    found = read(LONG, f"{SECOND},TP,7,,2,4,ug/L,", f"{BOTTLE},TP,8,,2,4,ug/L,")
    assert entries(found, "sample_type", "parent_sample") == [["field duplicate", BOTTLE], ["routine", ""]]


def test_a_sample_without_its_container_is_taken_as_a_whole_and_said(read):
    found = read(LONG, f"{BOTTLE[:-2]},TP,7,,2,4,ug/L,")
    assert entries(found, "sample_code") == [[BOTTLE[:-2]]]
    assert codes(found) == ["sample_without_container"]


def test_method_version_laboratory_batch_and_dilution_are_kept(read):
    found = read(
        "Laboratory: Ostrel",
        "Batch: D25-04",
        "SampleID,Analyte,Result,Units,Method,Method version,Dilution",
        f"{BOTTLE},TP,7,ug/L,molybdate,rev 3,1:5",
        f"{SECOND},TP,7,ug/L,molybdate,rev 3,1",
    )
    assert entries(found, "method", "batch", "dilution") == [
        ["molybdate, rev 3 (Ostrel)", "D25-04", 5],
        ["molybdate, rev 3 (Ostrel)", "D25-04", 1],
    ]
    assert codes(found) == ["dilution_stated"]


def test_half_of_a_limit_that_only_the_other_results_tell_is_asked_about(read):
    found = read(
        "SampleID,TP (ug/L)", f"{BOTTLE},<5", f"{SECOND},2.5", f"{BOTTLE[:6]}-3,3.54", f"{SECOND[:6]}-3,2.6"
    )
    assert entries(found, "reason") == [[""], ["stands_in"], ["stands_in"], [""]]


def test_a_file_with_stations_and_dates_carries_them(read):
    found = read("Station,Date,SampleID,Analyte,Result,Units", f"FER1,2025-07-11,{BOTTLE},TP,7,ug/L")
    assert entries(found, "station_code", "status") == [["FER1", "accepted"]]


def test_a_laboratorys_own_name_of_a_place_is_pointed_out_where_the_code_tells_it(read):
    found = read(
        "Station,Date,SampleID,Analyte,Result,Units",
        f"Mid-lake buoy,2025-07-11,{BOTTLE},TP,8,ug/L",
        f",,{SECOND},TP,9,ug/L",
        "Mid-lake buoy,2025-07-11,LCS,TP,8,ug/L",
    )
    assert entries(found, "station_code", "status") == [["", "accepted"], ["", "accepted"], ["", "held"]]
    assert [each.severity for each in found.problems if each.code == "name_of_laboratory"] == ["note"]


@pytest.mark.parametrize(
    ("headings", "row"),
    [
        ("SampleID,Analyte,Result,Units,MDL (mg/L),RL (ug/L)", "TP,24,ug/L,0.002,5"),
        ("SampleID,TP (ug/L),MDL (mg/L),RL (ug/L)", "24,0.002,5"),
        ("SampleID,TP (ug/L),TP MDL (mg/L),TP RL (ug/L)", "24,0.002,5"),
    ],
)
def test_limits_are_in_the_unit_that_their_own_heading_names(read, headings, row):
    found = read(headings, f"{BOTTLE},{row}")
    assert entries(found, "value", "detection_limit", "reporting_limit") == [[24, 2, 5]]
    assert found.problems == ()


def test_a_limit_in_a_unit_of_something_else_waits(read):
    found = read("SampleID,TP (ug/L),MDL (m)", f"{BOTTLE},24,2")
    assert entries(found, "status", "reason") == [["held", "heading_unit_wrong"]]


def test_an_analyte_that_the_programme_passes_over_is_refused(read):
    found = read(
        LONG,
        f"{BOTTLE},Chloride,7,,2,4,mg/L,",
        f"{BOTTLE},TP,7,,2,4,ug/L,",
        names=heading_names({"left_out": ["Chloride"]}),
    )
    assert entries(found, "quantity") == [["total_phosphorus"]]
    assert (found.account.refused, codes(found)) == (2, [])


def test_a_programme_s_own_quantity_is_read(read):
    from explorer.model.programme_text import read_programme

    own = read_programme('[quantities.chloride]\nname = "Chloride"\nunit = "mg/L"\n').quantities
    found = read(LONG, f"{BOTTLE},Chloride,7000,,2,4,ug/L,", names=heading_names(quantities=own))
    assert entries(found, "quantity", "value") == [["chloride", pytest.approx(7)]]


def test_unit_in_a_row_that_is_not_that_of_its_heading_is_asked_about(read):
    heading = "Sample,TP (ug/L),TN (mg/L),Unit"
    found = read(heading, f"{BOTTLE},0.025,,mg/L", f"{BOTTLE},25,,ug/L", f"{BOTTLE},26,,")
    entries = found.tables[0].entries
    assert entries["status"].tolist() == ["held", "accepted", "accepted"]
    assert entries["reason"].tolist()[0] == "units_contradict"
    assert entries["value"].tolist()[1:] == [25.0, 26.0]
    (said,) = [str(each) for each in found.problems if each.code == "units_contradict"]
    assert '"0.025" stands in a column of µg/L, and in its row the unit is mg/L' in said


def test_unit_in_a_row_holds_where_the_heading_says_none(read):
    found = read("Sample,TP,Unit", f"{BOTTLE},0.025,mg/L", f"{BOTTLE},26,ug/L")
    assert found.tables[0].entries["value"].tolist() == [25.0, 26.0]
    assert set(found.tables[0].entries["status"]) == {"accepted"}
