"""Columns that look wrong as a whole are asked about, and the answers are applied."""

import pandas as pd
import pytest

from explorer.records.opening import open_record

# Ten ponds 0.6 m deep; the disk is written as 100 cm in five of them.
ROWS = "".join(f"P{number},60,{100 if number <= 5 else 30 + number}\n" for number in range(1, 11))
TABLE = "pond,bottom,disk\n" + ROWS
COLUMNS = """station = "pond"
one_date = "1999-07-01"
bottom_depth = "bottom"
bottom_depth_unit = "cm"
[column.disk]
quantity = "secchi_depth"
unit = "cm"
"""


def opened(folder, table=TABLE, columns=COLUMNS):
    return open_record(folder({"t.csv": table, "t.columns.toml": columns}))


def frame_of(record) -> pd.DataFrame:
    return pd.concat(list(record.chunks()), ignore_index=True)


def test_value_repeated_in_water_no_deeper_is_held_with_the_question(folder):
    record = opened(folder)
    frame = frame_of(record)
    assert (frame["status"] == "held").sum() == 5
    assert frame.loc[frame["status"] == "held", "value"].unique().tolist() == [1.0]
    (question,) = [message for message in record.messages if "disk" in message]
    for part in ['t.csv, row 2, "disk"', '"100" stands in 5 of 10 rows, 5 times where the water is no deeper',
                 "t.columns.toml, under [column.disk]", 'repeated.100 = "measured"',
                 "5 readings wait for the answer"]:  # fmt: skip
        assert part in question


ANSWERS = [
    ("measured", "accepted", "=", 1.0),
    ("at least", "accepted", ">", 1.0),
    ("at most", "accepted", "<", 1.0),
    ("on the bottom", "accepted", ">", 0.6),
    ("leave out", "rejected", "=", 1.0),
]


@pytest.mark.parametrize(("answer", "status", "sign", "value"), ANSWERS)
def test_answer_about_a_repeated_value_is_applied(folder, answer, status, sign, value):
    record = opened(folder, columns=COLUMNS + f'repeated.100 = "{answer}"\n')
    frame = frame_of(record).set_index("station_code").loc[[f"P{number}" for number in range(1, 6)]]
    assert frame["status"].unique().tolist() == [status]
    assert frame["sign"].unique().tolist() == [sign]
    assert frame["value"].tolist() == pytest.approx([value] * 5)
    assert frame["as_written"].unique().tolist() == ["100"]
    assert not any("repeated" in message for message in record.messages)


def test_disk_on_the_bottom_of_water_of_unknown_depth_is_held_and_said(folder):
    table = TABLE.replace("P1,60,100", "P1,,100")
    record = opened(folder, table, COLUMNS + 'repeated.100 = "on the bottom"\n')
    frame = frame_of(record).set_index("station_code")
    assert frame.loc["P1", "status"] == "held"
    assert frame.loc["P2", "status"] == "accepted"
    assert any("depth of the water there is not known" in message for message in record.messages)


def test_answer_with_decimals_is_found(folder):
    columns = COLUMNS.replace('unit = "cm"', 'unit = "m"')
    table = TABLE.replace(",100\n", ",2.5\n").replace(",3", ",0.3").replace(",4", ",0.4")
    record = opened(folder, table, columns + 'repeated.2.5 = "measured"\n')
    assert (frame_of(record)["status"] == "accepted").all()


@pytest.mark.parametrize("repeats", [4, 5])
def test_repeated_value_is_asked_about_from_five_on(folder, repeats):
    rows = "".join(f"P{number},60,{100 if number <= repeats else 30 + number}\n" for number in range(1, 11))
    frame = frame_of(opened(folder, "pond,bottom,disk\n" + rows))
    assert (frame["status"] == "held").sum() == (repeats if repeats == 5 else 0)


@pytest.mark.parametrize("count", [20, 21])
def test_repeated_value_is_asked_about_from_a_quarter_on(folder, count):
    rows = "".join(f"P{number},60,{100 if number <= 5 else 10 + number}\n" for number in range(1, count + 1))
    frame = frame_of(opened(folder, "pond,bottom,disk\n" + rows))
    assert (frame["status"] == "held").sum() == (5 if count == 20 else 0)


def test_value_at_the_end_of_the_scale_is_asked_about_in_a_long_table(listed):
    values = ["120"] * 6 + [str(value) for value in range(40, 50)]
    rows = [f"HM1,2024-05-{day:02d},tube,{value},cm" for day, value in enumerate(values, 1)]
    record = open_record(listed(*rows))
    assert (frame_of(record)["status"] == "held").sum() == 6
    (question,) = record.messages
    assert "[quantity.transparency_tube]" in question
    answer = {"readings.columns.toml": '[quantity.transparency_tube]\nrepeated.120 = "at least"\n'}
    answered = frame_of(open_record(listed(*rows, **answer)))
    assert (answered["sign"] == ">").sum() == 6
    assert (answered["status"] == "accepted").all()


def test_value_repeated_in_the_middle_of_others_is_no_question(listed):
    values = ["7.4"] * 6 + ["7.0", "7.1", "7.2", "7.3", "7.5", "7.6", "7.7"]
    rows = [f"HM1,2024-05-{day:02d},pH,{value}," for day, value in enumerate(values, 1)]
    assert (frame_of(open_record(listed(*rows)))["status"] == "accepted").all()


def test_values_below_a_limit_are_not_counted_as_repeated(listed):
    values = ["<5"] * 8 + [str(value) for value in range(6, 14)]
    rows = [f"HM1,2024-05-{day:02d},TP,{value},ug/L" for day, value in enumerate(values, 1)]
    assert (frame_of(open_record(listed(*rows)))["status"] == "accepted").all()


def test_column_mostly_outside_what_is_plausible_is_held_until_a_factor_is_given(folder):
    table = "s,pH\nA,79\nB,80\nC,83\n"
    columns = 'station = "s"\none_date = "1970-07-01"\n[column.pH]\n'
    record = opened(folder, table, columns)
    assert (frame_of(record)["status"] == "held").all()
    (question,) = [message for message in record.messages if "pH" in message]
    for part in ['t.csv, row 2, "pH"', "3 of 3 values lie outside 3 to 11 pH", "under [column.pH]",
                 "factor = 0.1",
                 'outside = "measured"']:  # fmt: skip
        assert part in question
    answered = frame_of(opened(folder, table, columns + "factor = 0.1\n"))
    assert answered["value"].tolist() == pytest.approx([7.9, 8.0, 8.3])
    assert (answered["status"] == "accepted").all()
    taken = frame_of(opened(folder, table, columns + 'outside = "measured"\n'))
    assert taken["value"].tolist() == [79.0, 80.0, 83.0]
    assert (taken["status"] == "accepted").all()


def test_single_value_outside_what_is_plausible_is_left_to_the_checks(listed):
    rows = [f"HM1,2024-05-{day:02d},pH,{value}," for day, value in enumerate(("7.1", "7.2", "71"), 1)]
    assert (frame_of(open_record(listed(*rows)))["status"] == "accepted").all()
