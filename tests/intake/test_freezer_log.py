import pandas as pd
import pytest

from explorer.intake.sample_codes import sample_code

CODE = sample_code(2025, 12, 2)


def containers(found, *names):
    assert found.tables[0].kind == "freezer_log"
    assert found.tables[0].entries.empty
    return found.tables[0].containers[list(names)].to_numpy().tolist()


def test_a_log_gives_when_each_container_went_in_and_out_and_how_cold_it_was(read):
    found = read("container,in,time in,freezer °C,out,remark", f"{CODE},2025-04-12,13:05,-20,2025-04-25,soft")
    (row,) = containers(
        found, "sample_code", "container", "frozen_time", "freezer_temperature_degc", "remark"
    )
    assert row == [CODE, "filter", "13:05", -20, "soft"]
    assert [
        str(each[0].date())
        for each in (containers(found, "frozen_on"), containers(found, "taken_out_on"))
        for each in each
    ] == ["2025-04-12", "2025-04-25"]
    assert found.problems == ()


@pytest.mark.parametrize("heading", ["Sample", "Code", "Container"])
def test_a_log_is_no_laboratorys_file_however_its_columns_are_called(read, heading):
    found = read(f"{heading},In,Time in,Temp (°C),Out", f"{CODE},2025-04-12,13:05,4,2025-04-25")
    assert containers(found, "freezer_temperature_degc") == [[4.0]]


def test_degrees_fahrenheit_are_converted(read):
    assert containers(
        read("container,in,freezer °F", f"{CODE},2025-04-12,-4"), "freezer_temperature_degc"
    ) == [[pytest.approx(-20)]]
    assert containers(
        read("container,in,freezer", f"{CODE},2025-04-12,-4 F"), "freezer_temperature_degc"
    ) == [[pytest.approx(-20)]]


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("250112-2,2025-04-12,-20", "sample_code_check"),
        (f"{CODE},,-20", "not_frozen_when"),
        (f"{CODE},soon,-20", "not_a_date"),
        (f"{CODE},2025-04-12,cold", "not_a_number"),
        (f"{CODE},2025-04-12,5 mg/L", "not_a_number"),
    ],
)
def test_what_cannot_be_read_waits(read, row, code):
    found = read("container,in,freezer °C", row)
    assert code in [each.code for each in found.problems]
    assert found.account.held == 1


def test_a_date_with_its_time_gives_both(read):
    (row,) = containers(read("container,in", f"{CODE},2025-04-12 13:05"), "frozen_on", "frozen_time")
    assert row == [pd.Timestamp("2025-04-12"), "13:05"]
