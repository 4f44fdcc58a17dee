"""Tables under the names of the Water Quality Exchange: three vocabularies, limits, kinds of sample."""

import csv
import io

import pandas as pd
import pytest

from explorer.model.errors import RecordError
from explorer.records.opening import open_record

# A reading under our short names; each vocabulary gives them its own headings.
USUAL = {
    "station": "S-1", "date": "2024-05-17", "characteristic": "Phosphorus", "fraction": "Total",
    "value": "0.012", "unit": "mg/l",
}  # fmt: skip
# Source: WQX physical/chemical result profile, WQX 3.0 profile and WQX Web template, as listed in
# tests/published/wqx_vocabulary.csv; names marked * there are from memory.
VOCABULARIES = {
    "older": {
        "station": "MonitoringLocationIdentifier", "date": "ActivityStartDate",
        "characteristic": "CharacteristicName", "fraction": "ResultSampleFractionText",
        "value": "ResultMeasureValue", "unit": "ResultMeasure/MeasureUnitCode",
        "condition": "ResultDetectionConditionText", "qualifier": "MeasureQualifierCode",
        "status": "ResultStatusIdentifier", "activity": "ActivityTypeCode", "media": "ActivityMediaName",
        "time": "ActivityStartTime/Time", "depth": "ActivityDepthHeightMeasure/MeasureValue",
        "depth_unit": "ActivityDepthHeightMeasure/MeasureUnitCode", "layer": "ActivityRelativeDepthName",
        "speciation": "MethodSpeciationName", "sample": "ActivityIdentifier",
        "limit_type": "DetectionQuantitationLimitTypeName",
        "limit": "DetectionQuantitationLimitMeasure/MeasureValue",
        "limit_unit": "DetectionQuantitationLimitMeasure/MeasureUnitCode",
        "method": "ResultAnalyticalMethod/MethodIdentifier", "laboratory": "LaboratoryName",
        "statistic": "StatisticalBaseCode", "name": "MonitoringLocationName",
        "kind": "MonitoringLocationTypeName", "latitude": "LatitudeMeasure", "longitude": "LongitudeMeasure",
        "value_type": "ResultValueTypeName", "analysed": "AnalysisStartDate",
    },
    "3.0": {
        "station": "Location_Identifier", "date": "Activity_StartDate",
        "characteristic": "Result_Characteristic", "fraction": "Result_SampleFraction",
        "value": "Result_Measure", "unit": "Result_MeasureUnit",
        "condition": "Result_ResultDetectionCondition",
        "qualifier": "Result_MeasureQualifierCode", "status": "Result_MeasureStatusIdentifier",
    },
    "submission": {
        "station": "Monitoring Location ID", "date": "Activity Start Date",
        "characteristic": "Characteristic Name", "fraction": "Result Sample Fraction",
        "value": "Result Value", "unit": "Result Unit", "condition": "Result Detection Condition",
        "qualifier": "Result Measure Qualifier", "status": "Result Status ID",
    },
}  # fmt: skip


def exchange_text(*rows: dict[str, str], vocabulary: str = "older") -> str:
    names = VOCABULARIES[vocabulary]
    used = [name for name in names if any(name in {**USUAL, **row} for row in rows)]
    written = io.StringIO()
    writer = csv.writer(written)
    writer.writerow(["OrganizationIdentifier", *(names[name] for name in used)])
    writer.writerows(["ORG", *({**USUAL, **row}.get(name, "") for name in used)] for row in rows)
    return written.getvalue()


@pytest.fixture
def opened(tmp_path):
    def open_text(*rows, vocabulary="older"):
        path = tmp_path / "results.csv"
        path.write_text(exchange_text(*rows, vocabulary=vocabulary))
        return open_record(path)

    return open_text


def frame_of(record) -> pd.DataFrame:
    return pd.concat(list(record.chunks()), ignore_index=True)


@pytest.mark.parametrize("vocabulary", VOCABULARIES)
def test_each_vocabulary_gives_the_same_reading(opened, vocabulary):
    record = opened({"qualifier": "J", "status": "Preliminary"}, vocabulary=vocabulary)
    reading = frame_of(record).iloc[0]
    assert reading[["station_code", "quantity", "value", "sign"]].tolist() == [
        "S-1",
        "total_phosphorus",
        12.0,
        "=",
    ]
    assert reading[["qualifier", "status", "as_written"]].tolist() == ["J", "preliminary", "0.012"]


def test_every_heading_of_the_standard_is_known_to_the_published_list():
    # Source: reference list of WQX names (US EPA / USGS result profile), status as read there.
    from pathlib import Path

    published = pd.read_csv(Path(__file__).parent.parent / "published" / "wqx_vocabulary.csv")
    listed = set(published["value"])
    from_memory = {
        "MonitoringLocationName", "MonitoringLocationTypeName", "LatitudeMeasure", "LongitudeMeasure",
        "Result Sample Fraction", "Result Status ID",
    }  # fmt: skip
    used = {heading for names in VOCABULARIES.values() for heading in names.values()}
    assert used - from_memory <= listed


# Domain values of the standard (see tests/published/wqx_vocabulary.csv) → quantity.
CHARACTERISTICS = [
    ("Depth, Secchi disk depth", "", "ft", "secchi_depth", 0.3048),
    ("Chlorophyll a, corrected for pheophytin", "", "ug/l", "chlorophyll_a", 1.0),
    ("Chlorophyll a", "Total", "ug/l", "chlorophyll_a_uncorrected", 1.0),
    ("Phosphorus", "Total", "mg/l", "total_phosphorus", 1000.0),
    ("Total Phosphorus, mixed forms", "", "mg/l", "total_phosphorus", 1000.0),
    ("Nitrogen", "Total", "mg/l", "total_nitrogen", 1000.0),
    ("Total Nitrogen, mixed forms", "Unfiltered", "mg/l", "total_nitrogen", 1000.0),
    ("Inorganic nitrogen (nitrate and nitrite)", "Dissolved", "mg/l", "nitrate_nitrite", 1000.0),
    ("Orthophosphate", "Dissolved", "mg/l", "orthophosphate", 1000.0),
    ("Dissolved oxygen (DO)", "", "mg/l", "dissolved_oxygen", 1.0),
    ("Dissolved oxygen (DO)", "", "%", "oxygen_saturation", 1.0),
    ("Dissolved oxygen saturation", "", "% saturatn", "oxygen_saturation", 1.0),
    ("Temperature, water", "", "deg C", "water_temperature", 1.0),
    ("pH", "", "std units", "ph", 1.0),
    ("pH", "", "None", "ph", 1.0),
    ("Specific conductance", "", "uS/cm", "conductivity", 1.0),
    ("Turbidity", "", "NTU", "turbidity", 1.0),
    ("True color", "", "PCU", "true_colour", 1.0),
    ("Alkalinity, total", "", "mg/l CaCO3", "alkalinity", 1.0),
]


@pytest.mark.parametrize(("characteristic", "fraction", "unit", "quantity", "value"), CHARACTERISTICS)
def test_characteristic_and_fraction_name_the_quantity(
    opened, characteristic, fraction, unit, quantity, value
):
    record = opened({"characteristic": characteristic, "fraction": fraction, "unit": unit, "value": "1"})
    reading = frame_of(record).iloc[0]
    assert (reading["quantity"], reading["value"]) == (quantity, pytest.approx(value))


@pytest.mark.parametrize(
    ("characteristic", "fraction"),
    [("Phosphorus", "Dissolved"), ("Phosphorus", ""), ("Kjeldahl nitrogen", "Total"), ("Conductivity", "")],
)
def test_characteristic_that_is_another_quantity_is_left_out_and_named(opened, characteristic, fraction):
    record = opened({}, {"characteristic": characteristic, "fraction": fraction})
    assert len(frame_of(record)) == 1
    named = f"{characteristic}, {fraction}" if fraction else characteristic
    assert any("does not measure" in message and f"{named} (1)" in message for message in record.messages)
    with pytest.raises(RecordError, match="does not measure them"):
        opened({"characteristic": characteristic, "fraction": fraction})


# Source: the share of N or P in the ion's mass, IUPAC abridged atomic weights 2021 (computed).
@pytest.mark.parametrize(
    ("characteristic", "speciation", "expected"),
    [
        ("Inorganic nitrogen (nitrate and nitrite)", "as N", 1000.0),
        ("Inorganic nitrogen (nitrate and nitrite)", "as NO3", 225.90),
        ("Ammonia", "as NH4", 776.5),
        ("Orthophosphate", "as PO4", 326.14),
        ("Orthophosphate", "as P", 1000.0),
    ],
)
def test_speciation_is_part_of_the_unit(opened, characteristic, speciation, expected):
    record = opened(
        {"characteristic": characteristic, "fraction": "", "speciation": speciation, "value": "1"}
    )
    assert frame_of(record)["value"][0] == pytest.approx(expected, rel=1e-4)


LIMITS = [
    ("Not Detected", "Method Detection Level", "<", 4.0, "accepted"),
    ("Below Detection Limit", "Method Detection Level", "<", 4.0, "accepted"),
    ("Not Detected", "Lower Quantitation Limit", "<", 4.0, "accepted"),
    ("Present Below Quantification Limit", "Lower Quantitation Limit", "<", 4.0, "accepted"),
    ("Detected Not Quantified", "Lower Reporting Limit", "<", 4.0, "accepted"),
    ("Above Operating Range", "Upper Quantitation Limit", ">", 4.0, "accepted"),
    ("Detected Not Quantified", "Method Detection Level", "=", None, "held"),
    ("Not Reported", "Method Detection Level", "=", None, "held"),
]


@pytest.mark.parametrize(("condition", "limit_type", "sign", "value", "status"), LIMITS)
def test_detection_condition_takes_the_limit_of_its_kind_or_is_held(
    opened, condition, limit_type, sign, value, status
):
    record = opened(
        {"value": "", "unit": "", "condition": condition, "limit_type": limit_type, "limit": "0.004",
         "limit_unit": "mg/l"}
    )  # fmt: skip
    reading = frame_of(record).iloc[0]
    assert (reading["sign"], reading["status"], reading["as_written"]) == (sign, status, condition)
    assert (None if pd.isna(reading["value"]) else reading["value"]) == value


def test_not_detected_without_a_limit_is_held_and_asked(opened):
    record = opened({"value": "", "condition": "Not Detected"})
    assert frame_of(record)["status"].tolist() == ["held"]
    assert any('"Not Detected" says that nothing could be measured' in message for message in record.messages)


def test_value_with_a_condition_that_says_there_is_none_is_held(opened):
    record = opened({"condition": "Not Detected"})
    assert frame_of(record)["status"].tolist() == ["held"]
    assert any("Not Detected" in message for message in record.messages)


def test_value_between_the_limits_is_estimated(opened):
    record = opened(
        {"condition": "Present Below Quantification Limit"}, {"value_type": "Estimated", "value": "2"}
    )
    assert record.fetch_rows("SELECT estimated FROM readings ORDER BY reading_id") == [(1,), (1,)]


SAMPLES = [
    ("Sample-Routine", "routine"), ("Field Msr/Obs", "routine"), ("", "routine"),
    ("Quality Control Sample-Field Blank", "field blank"),
    ("Quality Control Sample-Equipment Blank", "equipment blank"),
    ("Quality Control Sample-Field Replicate", "field duplicate"),
    ("Quality Control Field Replicate Msr/Obs", "field duplicate"),
    ("Quality Control Sample-Lab Duplicate", "lab duplicate"),
    ("Quality Control-Meter Lab Duplicate", "lab duplicate"),
    ("Quality Control Sample-Lab Spike", "spike"),
]  # fmt: skip


@pytest.mark.parametrize(("activity", "sample_type"), SAMPLES)
def test_activity_type_names_the_kind_of_sample(opened, activity, sample_type):
    assert frame_of(opened({"activity": activity}))["sample_type"].tolist() == [sample_type]


@pytest.mark.parametrize(
    "activity",
    ["Quality Control Sample-Lab Blank", "Quality Control-Calibration Check", "Quality Control-Other"],
)
def test_quality_control_that_the_record_has_no_word_for_is_held(opened, activity):
    record = opened({"activity": activity})
    assert frame_of(record)["status"].tolist() == ["held"]
    assert any('"ActivityTypeCode"' in message and activity in message for message in record.messages)


def test_depth_layer_method_and_laboratory_arrive(opened):
    record = opened(
        {"depth": "10", "depth_unit": "ft", "layer": "Near Bottom", "method": "365.1", "laboratory": "Lab A",
         "time": "10:30:00", "sample": "A-1", "analysed": "2024-05-20"}
    )  # fmt: skip
    reading = frame_of(record).iloc[0]
    assert reading["depth_m"] == pytest.approx(3.048)
    assert reading[["stratum", "method", "taken_time", "sample_code"]].tolist() == [
        "bottom", "365.1, Lab A", "10:30", "A-1",
    ]  # fmt: skip


def test_places_and_kinds_of_water_come_from_the_standard_names(opened):
    record = opened(
        {"name": "Deep hole", "kind": "Lake", "latitude": "45.1", "longitude": "-30.2"},
        {"station": "S-2", "name": "Brook", "kind": "River/Stream", "latitude": "45.2", "longitude": "-30.1"},
        {"station": "S-3", "name": "Dam", "kind": "Reservoir", "latitude": "45.3", "longitude": "-30.1"},
    )
    kinds = {code: lake.kind for code, lake in record.lakes().items()}
    assert kinds == {"S-1": "lake", "S-2": "stream", "S-3": "reservoir"}
    station = record.station("S-1")
    assert (station.name, station.longitude_deg, station.latitude_deg) == ("Deep hole", -30.2, 45.1)


def test_other_media_and_summaries_are_left_out_and_named(opened):
    record = opened({}, {"media": "Sediment"}, {"media": "Water", "statistic": "Mean"})
    assert len(frame_of(record)) == 1
    said = "\n".join(record.messages)
    assert "not of water: Sediment (1)" in said
    assert "not single readings: Mean (1)" in said


def test_unknown_unit_of_an_exchange_table_holds_its_readings(opened):
    record = opened({"unit": "ueq/L"})
    assert frame_of(record)["status"].tolist() == ["held"]
    assert any('"ResultMeasure/MeasureUnitCode": "ueq/L"' in message for message in record.messages)


def test_missing_column_of_the_standard_is_named(tmp_path):
    path = tmp_path / "results.csv"
    path.write_text(exchange_text({}).replace("ActivityStartDate", "SomeDate"))
    with pytest.raises(RecordError, match=r'results\.csv, row 1: the column "ActivityStartDate" is missing'):
        open_record(path)
