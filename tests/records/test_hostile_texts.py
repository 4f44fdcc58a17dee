"""Hostile and hasty texts: nothing runs, nothing is lost, every cell is accounted for."""

from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from explorer.model.errors import RecordError
from explorer.records.folder import read_folder
from explorer.records.folder_texts import FolderTexts, collect_texts
from explorer.records.opening import open_record

HOSTILE = [
    "=cmd|' /C calc'!A0",
    "@SUM(1+1)",
    "<script>alert(1)</script>",
    "'; DROP TABLE stations; --",
    '"><img src=x onerror=alert(1)>',
    "../../etc/passwd",
    "{0.__class__}",
    "{found}",
    "%s%n",
    "$(rm -rf /)",
    "\\u202e",
    "NULL'",
    "Ω≈ç√ 湖 🌊",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_name_stays_text(folder, text):
    quoted = '"' + text.replace('"', '""') + '"'
    place = folder(
        {
            "lakes.csv": f"code,name\n{quoted},{quoted}\n",
            "stations.csv": f"code,name,lake_code\n{quoted},{quoted},{quoted}\n",
            "readings.csv": "station_code,taken_on,quantity,value,unit,method,batch,observer,remark\n"
            f"{quoted},2024-05-17,TP,12,ug/L,{quoted},{quoted},{quoted},{quoted}\n"
            f"{quoted},2024-05-18,TP,{quoted},ug/L,,,,\n",
        }
    )
    record = open_record(place)
    assert record.station(text).name == text
    assert record.lakes()[text].name == text
    readings = record.history(text).readings
    assert readings[["station_code", "method", "batch", "observer"]].iloc[0].tolist() == [text] * 4
    assert readings["as_written"].tolist() == ["12", text]
    assert readings["status"].tolist() == ["accepted", "held"]
    assert any(text in message for message in record.messages)


def test_escape_sequences_and_line_ends_do_not_reach_a_message(listed):
    record = open_record(listed('HM1,2024-05-17,TP,"\x1b[2J\x07?\nrecord.csv, row 1: all is well",ug/L'))
    (message,) = record.messages
    assert message.isprintable()


def test_long_cell_is_cut_in_the_message_and_whole_in_the_record(listed):
    record = open_record(listed(f"HM1,2024-05-17,TP,{'9x' * 2000},ug/L"))
    assert len(record.messages[0]) < 300
    assert record.fetch_rows("SELECT length(as_written) FROM readings") == [(4000,)]


def ends_well(files: dict[str, bytes]) -> None:
    """Read texts; nothing but a refusal may come out, and every cell has one fate."""
    try:
        folder = read_folder(FolderTexts("folder", files))
    except RecordError:
        return
    cells, entries = folder.findings.cells, folder.arrival.entries
    assert cells.read == cells.entered + cells.held + cells.refused + cells.empty
    assert cells.entered + cells.held == len(entries)
    assert (entries["status"] == "held").sum() == cells.held
    unread = entries["value"].isna() | entries["taken_on"].isna()
    assert (entries.loc[unread, "status"] == "held").all()
    assert (entries["as_written"] != "").all()
    assert set(entries["station_code"]) <= {station.code for station in folder.arrival.stations}
    assert {station.lake_code for station in folder.arrival.stations} <= {
        lake.code for lake in folder.arrival.lakes
    }


SHORT = st.text(max_size=12)
LIKELY = st.sampled_from(
    ["", "HM1", "2024-05-17", "17/5/2024", "03/04/2024", "TP", "secchi", "pH", "12", "<5", "ND", "1,250", "0",
     "-999", "ug/L", "m", "ft", "furlong", "%", '"', ";", "\t", "surface", "held", "NA", "1e400", "\ufeff"]
)  # fmt: skip
CELLS = st.one_of(LIKELY, SHORT)
MORE = ("depth_m", "stratum", "status", "remark", "Secchi (m)", "TP (ug/L)", "secchi", "LatitudeMeasure", "x")
WHOLE = (
    ("station_code", "taken_on", "quantity", "value", "unit"),
    ("station", "date", "Secchi (m)", "pH"),
    ("MonitoringLocationIdentifier", "ActivityStartDate", "CharacteristicName", "ResultMeasureValue",
     "ResultMeasure/MeasureUnitCode", "ResultDetectionConditionText"),
)  # fmt: skip
FITTING = {
    "station": ["HM1", "HM2"], "taken_on": ["2024-05-17", "17.5.2024"], "date": ["2024-05-17", "17/5/2024"],
    "quantity": ["TP", "secchi", "pH"], "value": ["12", "<5", "0.5"], "unit": ["ug/L", "mg/L", "m"],
    "ActivityStartDate": ["2024-05-17"], "CharacteristicName": ["pH", "Depth, Secchi disk depth"],
    "ResultMeasureValue": ["7", "2.5"], "ResultMeasure/MeasureUnitCode": ["m", "None"],
    "ResultDetectionConditionText": ["", "Not Detected"], "MonitoringLocationIdentifier": ["HM1"],
    "station_code": ["HM1", "HM2"],
}  # fmt: skip


@st.composite
def tables(draw: st.DrawFn) -> bytes:
    """Tables that look right and are wrong in some cells, rows or bytes."""
    headings = [
        *draw(st.sampled_from(WHOLE)),
        *draw(st.lists(st.sampled_from(MORE), max_size=2, unique=True)),
    ]
    cells = [st.one_of(st.sampled_from(FITTING.get(name, ["1", ""])), CELLS) for name in headings]
    rows = draw(st.lists(st.tuples(*cells).map(list), max_size=8))
    if draw(st.integers(0, 4)) == 0:
        headings.pop(draw(st.integers(0, len(headings) - 1)))
    separator = draw(st.sampled_from(",;\t"))
    lines = [separator.join('"' + cell.replace('"', '""') + '"' for cell in row) for row in [headings, *rows]]
    content = "\n".join(lines).encode("utf-8", "surrogatepass")
    if draw(st.integers(0, 3)) == 0:
        place = draw(st.integers(0, len(content)))
        content = content[:place] + draw(st.binary(max_size=4)) + content[place:]
    return content


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes_in_any_file_end_in_a_record_or_a_refusal(content):
    for name in (
        "readings.csv",
        "stations.csv",
        "lakes.csv",
        "stations.geojson",
        "lakes.geojson",
        "programme.toml",
    ):
        ends_well({name: content})
    ends_well({"t.csv": b"station,date,pH\nA,2024-05-17,7\n", "t.columns.toml": content})


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(tables())
def test_any_table_ends_in_a_record_or_a_refusal_and_its_cells_add_up(content):
    ends_well({"readings.csv": content})


@pytest.mark.long
@settings(max_examples=10_000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(tables())
def test_ten_thousand_tables_end_in_a_record_or_a_refusal(content):
    ends_well({"readings.csv": content})


NUMBER = st.sampled_from(["12", "0.5", "<5", "> 3", "7.25"])
BROKEN = st.sampled_from(["1.8O", "?", "ND", "1,250", "-5", "0", "12 ug", "1e999", "--5"])
NOTHING = st.sampled_from(["", "NA", "-", "n/a"])


@settings(deadline=None)
@given(st.lists(st.one_of(NUMBER.map(lambda cell: (cell, "entered")), BROKEN.map(lambda cell: (cell, "held")),
                          NOTHING.map(lambda cell: (cell, "empty"))), max_size=20))  # fmt: skip
def test_cells_are_counted_as_the_breaker_knows_them(cells):
    rows = [f'A{number},2024-05-17,TP,"{cell}",ug/L' for number, (cell, _) in enumerate(cells)]
    text = "\n".join(["station_code,taken_on,quantity,value,unit", *rows])
    found = read_folder(FolderTexts("folder", {"readings.csv": text.encode()})).findings.cells
    fates = [fate for _, fate in cells]
    assert found.read == len(cells)
    assert (found.entered, found.held, found.empty, found.refused) == (
        fates.count("entered"), fates.count("held"), fates.count("empty"), 0,
    )  # fmt: skip


@settings(max_examples=25, deadline=None)
@given(tables())
def test_whatever_is_read_can_be_opened(content):
    with TemporaryDirectory() as place:
        path = Path(place) / "readings.csv"
        path.write_bytes(content)
        try:
            record = open_record(path)
        except RecordError:
            return
        total = sum(len(frame) for frame in record.chunks())
        undated = record.fetch_rows("SELECT count(*) FROM readings WHERE taken_on IS NULL")[0][0]
        cells = read_folder(collect_texts(path)).findings.cells
        assert total + undated == cells.entered + cells.held
        record.close()
