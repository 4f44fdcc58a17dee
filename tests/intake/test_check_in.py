"""A check-in from its files to the record: one change or nothing, corrected files, text stays text."""

import hashlib
from collections.abc import Callable
from datetime import date

import pytest
from check_examples import B1, EXAMPLES, F1, ONE, chlorophyll, code, phosphorus, rows, wrong

from explorer.display.check_in_lines import check_in_lines
from explorer.intake.check_in import accept, check_in
from explorer.intake.refresh import refresh
from explorer.model.check_in import CheckIn
from explorer.model.errors import ProgrammeError, RecordError
from explorer.model.programme_text import read_programme
from explorer.records.container_entry import container_list
from explorer.records.copies import dated_copies
from explorer.records.corrections import correct, mark
from explorer.records.opening import open_record
from explorer.records.past import changes_of, file_content, reading_history, readings_at
from explorer.records.provenance import reading_origin
from explorer.records.reason_problems import ReasonProblems
from explorer.records.record import Record

TODAY = date(2025, 12, 31)
WHO = {"who": "M. Oak"}
Look = Callable[..., CheckIn]


@pytest.fixture
def look(county: Record) -> Look:
    def at(**files: str) -> CheckIn:
        contents = {f"{name}.csv": text.encode() for name, text in files.items()}
        found = check_in(contents, county, today=TODAY)
        assert found.account.adds_up
        return found

    return at


def standing(record: Record, station: str = "CL1") -> list[list[object]]:
    """Return what stands of 2025, without what was there before."""
    readings = record.history(station).readings
    own = readings[readings["taken_on"] >= "2025"]
    return own[["quantity", "value", "status"]].to_numpy().tolist()


def test_looking_writes_nothing(county, look):
    before = county.path.read_bytes()
    look(sheet=ONE, lab=phosphorus(f"{B1},25,4,2025-06-20"))
    assert county.path.read_bytes() == before
    assert dated_copies(county.path) == ()


def test_sheet_and_laboratory_land_together_with_all_that_they_say(county, look):
    found = look(sheet=ONE, lab=phosphorus(f"{B1},25,4,2025-06-20"), chlorophyll=chlorophyll("2025-06-20"))
    assert accept(county, found, remark="June", **WHO) == 2
    assert standing(county) == [
        ["secchi_depth", 4.0, "accepted"], ["chlorophyll_a", 4.2, "accepted"],
        ["total_phosphorus", 25.0, "accepted"]]  # fmt: skip
    readings = county.history("CL1").readings
    own = readings[readings["taken_on"] >= "2025"]
    assert own["visit_id"].nunique() == 1
    assert own.set_index("quantity")["volume_filtered_ml"].to_dict()["chlorophyll_a"] == 500
    change = changes_of(county)[-1]
    assert (change.kind, change.who, change.why) == ("check-in", "M. Oak", "June")
    assert sorted(container_list(county)["sample_code"]) == sorted([B1, F1])
    (copy,) = dated_copies(county.path)
    assert copy.version == 1
    assert open_record(copy.path).version() == 1
    assert refresh(county) == 1


def test_reading_leads_back_to_its_cell(county, look):
    accept(county, look(sheet=ONE, lab=phosphorus(f"{B1},25,4,2025-06-20")), **WHO)
    number = county.fetch_rows("SELECT reading_id FROM readings WHERE as_written = '25'")[0][0]
    source = reading_history(county, number)[0].source
    line = file_content(county, source.sha256).decode().splitlines()[source.row - 1]
    assert (source.file_name, source.column, line) == ("lab.csv", "TP (ug/L)", f"{B1},25,4,2025-06-20")


def test_same_files_again_change_nothing(county, look):
    accept(county, look(sheet=ONE), **WHO)
    again = look(sheet=ONE)
    assert again.brings_nothing
    assert again.is_clean
    assert again.files[0].known_since == 2
    assert accept(county, again, **WHO) == 2
    assert len(dated_copies(county.path)) == 1


def test_same_bytes_under_two_names_are_taken_once(county, look):
    found = look(first=ONE, second=ONE)
    assert [each.state for each in found.files] == ["new", "known"]
    assert len(found.accepted) == 1
    assert check_in_lines(found)[1].startswith("second.csv: the same as another of these files")


def test_results_that_came_first_follow_their_sheet(county, look):
    accept(county, look(lab=phosphorus(f"{B1},25,4,2025-06-20", f"{code(9, 1)},ND,,2025-06-20")), **WHO)
    assert standing(county) == []
    waiting = county.fetch_rows(
        "SELECT reason, value FROM readings WHERE station_id IS NULL ORDER BY value DESC"
    )
    assert waiting == [("sample_not_on_sheet", 25.0), ("limit_missing", None)]
    accept(county, look(sheet=ONE), **WHO)
    assert standing(county) == [["secchi_depth", 4.0, "accepted"], ["total_phosphorus", 25.0, "accepted"]]
    assert county.fetch_rows(
        "SELECT count(*) FROM readings WHERE station_id IS NULL AND left_in IS NULL"
    ) == [(1,)]


def test_waiting_result_can_be_given_its_station_by_hand(county, look):
    accept(county, look(lab=phosphorus(f"{B1},25,4,2025-06-20")), **WHO)
    number = county.fetch_rows("SELECT reading_id FROM readings WHERE as_written = '25'")[0][0]
    with pytest.raises(RecordError, match="has no date"):
        mark(county, number, "accepted", who="M. Oak", why="x")
    correct(county, number, {"station_code": "CL1", "taken_on": "2025-06-10"}, who="M. Oak", why="Label read")
    assert standing(county) == [["total_phosphorus", 25.0, "accepted with a remark"]]


def test_results_of_a_later_file_find_the_sheet_of_an_earlier_one(county, look):
    accept(county, look(sheet=ONE), **WHO)
    found = look(lab=phosphorus(f"{B1},25,4,2025-06-20"), chl=chlorophyll("2025-06-20", told="250"))
    assert found.accepted["station_code"].tolist() == ["CL1"]
    assert found.held["reason"].tolist() == ["volumes_differ"]


def test_chlorophyll_is_computed_with_the_total_volume_on_the_sheet(county, look):
    extract = rows("Sample,664b,665a,Extract (mL),Path (cm)", f"{F1},0.300,0.190,10,1")
    topped_up = ONE.replace(",500", ",250+250")
    (value,) = look(sheet=topped_up, lab=extract).accepted.query("quantity == 'chlorophyll_a'")["value"]
    assert value == pytest.approx(
        26.7 * (0.300 - 0.190) * 10 / 0.5
    )  # Lorenzen 1967: mL of extract, L of water


def test_corrected_file_shows_what_differs_and_replaces_by_new_rows(county, look):
    first = rows("Station,Date,Secchi (m),Temp (C)", "CL1,2025-06-01,4.0,18", "CL2,2025-06-01,4.1,18",
                 "QQ9,2025-06-01,4.2,19")  # fmt: skip
    accept(county, look(sheet=first), **WHO)
    kept = county.fetch_rows("SELECT reading_id FROM readings WHERE entered_in = 2 AND as_written = '4.0'")
    second = rows("Station,Date,Secchi (m),Temp (C)", "CL1,2025-06-01,4.0,17", "CL3,2025-06-01,4.2,19")
    found = look(sheet=second)
    assert (found.files[0].state, found.files[0].known_since) == ("corrected", 2)
    shown = found.differences[["station_code", "quantity", "before", "after", "change"]].to_numpy().tolist()
    assert sorted(shown) == sorted([
        ["CL1", "water_temperature", "18", "17", "changed"], ["CL3", "secchi_depth", "4.1", "4.2", "changed"],
        ["CL3", "water_temperature", "18", "19", "changed"], ["", "secchi_depth", "4.2", "", "gone"],
        ["", "water_temperature", "19", "", "gone"]])  # fmt: skip
    accept(county, found, **WHO)
    assert standing(county) == [["secchi_depth", 4.0, "accepted"], ["water_temperature", 17.0, "accepted"]]
    assert standing(county, "CL2") == []
    now = county.fetch_rows("SELECT reading_id FROM readings WHERE left_in IS NULL AND as_written = '4.0'")
    assert set(kept) <= set(now), "what did not change keeps its row"
    assert len(readings_at(county, 2, "CL2")) > len(readings_at(county, 3, "CL2"))
    back = look(sheet=first)
    assert (back.files[0].state, back.files[0].known_since) == ("corrected", 3)
    accept(county, back, **WHO)
    assert standing(county, "CL2") == [
        ["secchi_depth", 4.1, "accepted"],
        ["water_temperature", 18.0, "accepted"],
    ]


def test_what_was_decided_by_hand_outlives_a_corrected_file(county, look):
    first = rows("Station,Date,Secchi (m),Temp (C)", "CL1,2025-06-01,13.1,18")
    accept(county, look(sheet=first), **WHO)
    number = county.fetch_rows("SELECT reading_id FROM readings WHERE as_written = '13.1'")[0][0]
    correct(county, number, {"value": 3.99}, who="M. Oak", why="Feet")
    accept(county, look(sheet=first.replace(",18", ",17")), **WHO)
    assert standing(county)[0] == ["secchi_depth", 3.99, "accepted with a remark"]


def test_next_years_file_of_the_same_name_takes_nothing_away(county, look):
    accept(county, look(sheet=rows("Station,Date,Secchi (m)", "CL1,2024-06-01,4.0")), **WHO)
    found = look(sheet=rows("Station,Date,Secchi (m)", "CL1,2025-06-01,4.1"))
    assert found.files[0].state == "new"
    assert found.gone == ()
    accept(county, found, **WHO)
    assert len(county.history("CL1").readings.query("taken_on >= '2024'")) == 2


def test_sheet_in_two_files_is_found(county, look):
    accept(
        county, look(sheet=rows("Station,Date,Secchi (m)", "CL1,2025-06-01,4.0", "CL2,2025-06-01,4.0")), **WHO
    )
    found = look(other=rows("Station,Date,Secchi (m)", "CL1,2025-06-01,4.00", "CL2,2025-06-01,4.4"))
    assert found.accepted.empty
    assert found.held["reason"].tolist() == ["reading_differs"]
    assert found.refused["reason"].tolist() == ["reading_known"]


def test_what_a_sheet_says_of_a_visit_is_kept(county, look):
    text = rows("Station,Date,Secchi (m),Trained,Line checked,Sunglasses,Bottom (m)",
                "CL1,2025-06-01,4.0,2025-04-01,2025-04-02,no,9.5")  # fmt: skip
    accept(county, look(sheet=text), **WHO)
    said = "SELECT trained_on, line_checked_on, sunglasses, bottom_depth_m FROM visits WHERE entered_in = 2"
    assert county.fetch_rows(said) == [("2025-04-01", "2025-04-02", "no", 9.5)]
    (number,) = county.fetch_rows("SELECT reading_id FROM readings WHERE entered_in = 2")[0]
    visit = reading_origin(county, number).visit
    assert (visit.trained_on, visit.line_checked_on, visit.bottom_depth_m) == (
        "2025-04-01",
        "2025-04-02",
        9.5,
    )


def test_likely_partner_of_a_code_is_named(county, look):
    found = look(sheet=ONE.replace(B1, wrong(B1)).replace(F1, ""), lab=phosphorus(f"{B1},25,4,2025-06-20"))
    table = found.matches.set_index("code")
    assert table.loc[wrong(B1), ["outcome", "near"]].tolist() == ["unread", B1]
    assert table.loc[B1, ["outcome", "near"]].tolist() == ["extra", wrong(B1)]


def test_record_that_moved_on_is_looked_at_again(county, look):
    found = look(sheet=ONE)
    mark(county, 1, "rejected", who="A. Elm", why="The bottle broke")
    with pytest.raises(RecordError, match=r"A. Elm changed .* after these files were looked at"):
        accept(county, found, **WHO)
    assert county.version() == 2
    assert standing(county) == []
    assert accept(county, look(sheet=ONE), **WHO) == 3


def test_failure_in_the_middle_lets_nothing_land(county, look, monkeypatch):
    from explorer.records import ledger

    def full(*arguments: object) -> None:
        raise RecordError("The disk is full.")

    found = look(sheet=ONE)
    monkeypatch.setattr(ledger, "enter_containers", full)
    with pytest.raises(RecordError, match="disk is full"):
        accept(county, found, **WHO)
    assert county.version() == 1
    for table in ("containers", "problems"):
        assert county.fetch_rows(f"SELECT count(*) FROM {table}") == [(0,)]
    assert len(county.fetch_rows("SELECT * FROM files WHERE name = 'sheet.csv'")) == 0


def test_held_cells_are_counted_as_held(county, look):
    found = look(**{name.removesuffix(".csv"): text for name, text in EXAMPLES["frozen_late"].finds.items()})
    by_name = {each.name: each.account for each in found.files}
    assert by_name["lab.csv"].held == 1
    assert by_name["freezer.csv"].held == 1


HOSTILE = (
    "=cmd|' /C calc'!A1", "'); DROP TABLE readings; --", "<script>alert(1)</script>", "../../etc/passwd",
    "\x1b[31mred", "#import \"x\": *", "{found}", "%s%n", "\u202eevil", "A" * 5000,
)  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_stays_text(county, text):
    cell = text.replace('"', '""')
    sheet = (
        f'Station,Date,Secchi (m),Bottle,Notes,Observer\n"{cell}",2025-06-01,4.0,"{cell}","{cell}","{cell}"\n'
    )
    sheet += f'CL1,2025-06-01,"{cell}",{B1},"{cell}","{cell}"\nCL2,2025-06-01,4.0,,"{cell}","{cell}"\n'
    found = check_in({text[:80]: sheet.encode("utf-8", "surrogatepass")}, county, today=TODAY)
    assert found.account.adds_up
    assert accept(county, found, who=text, remark=text) == 2
    assert county.fetch_rows("PRAGMA integrity_check") == [("ok",)]
    assert hashlib.sha256(sheet.encode("utf-8", "surrogatepass")).hexdigest() in {
        row[0] for row in county.fetch_rows("SELECT sha256 FROM files")
    }
    kept = county.fetch_rows("SELECT who, why FROM changes WHERE change_id = 2")[0]
    assert all("\x1b" not in each and "\u202e" not in each for each in kept)
    assert len(county.station_list()) == 6


def test_headings_of_the_programme_are_read(county):
    sheet = b"paraje,Date,disco\nCL1,2025-06-01,4.0\n"
    settings = '[headings]\nstation = ["paraje"]\nsecchi_depth = ["disco"]\n[headings.units]\ndisco = "m"\n'
    assert check_in({"a.csv": sheet}, county, today=TODAY).accepted.empty
    found = check_in({"a.csv": sheet}, county, read_programme(settings), today=TODAY)
    assert found.accepted["value"].tolist() == [4.0]
    with pytest.raises(ProgrammeError, match=r"headings.statoin"):
        check_in({}, county, read_programme('[headings]\nstatoin = ["x"]'))


def test_nothing_at_all_is_a_check_in_too(county):
    found = check_in({}, county)
    assert found.brings_nothing
    assert found.is_clean
    assert accept(county, found, **WHO) == 1


EXTRACT = rows("Sample,664b,665a,Extract (mL),Path (cm)", f"{F1},0.300,0.190,10,1")
PER_LITRE = 26.7 * (0.300 - 0.190) * 10  # Lorenzen 1967: µg/L at 1 L filtered through


def results(record):
    found = record.fetch_rows(
        "SELECT s.code, r.taken_on, r.value, r.status, r.reason FROM readings r "
        "JOIN quantities q USING (quantity_id) LEFT JOIN stations s USING (station_id) "
        "WHERE r.left_in IS NULL AND q.code = 'chlorophyll_a'"
    )
    return [(code, day, value and round(value, 3), *more) for code, day, value, *more in found]


def test_extract_that_came_before_its_sheet_becomes_chlorophyll(county, look):
    accept(county, look(lab=EXTRACT), **WHO)
    assert results(county) == [(None, None, None, "held", "volume_missing")]
    accept(county, look(sheet=ONE), **WHO)
    assert results(county) == [("CL1", "2025-06-10", round(PER_LITRE / 0.5, 3), "accepted", "")]


def test_results_follow_a_corrected_sheet(county, look):
    accept(county, look(sheet=ONE, lab=EXTRACT), **WHO)
    found = look(sheet=ONE.replace(",500", ",400").replace("2025-06-10", "2025-06-11"))
    (line,) = found.differences.query("quantity == 'chlorophyll_a'").to_dict("records")
    assert (line["file_name"], line["before"], line["after"]) == (
        "lab.csv", "CL1 2025-06-10 58.74 (500 mL)", "CL1 2025-06-11 73.42 (400 mL)",
    )  # fmt: skip
    assert [each.name for each in found.files] == ["sheet.csv"]
    assert found.account.adds_up
    accept(county, found, **WHO)
    assert results(county) == [("CL1", "2025-06-11", round(PER_LITRE / 0.4, 3), "accepted", "")]
    assert look(sheet=ONE.replace(",500", ",400").replace("2025-06-10", "2025-06-11")).brings_nothing


def test_third_version_of_a_sheet_is_compared_with_all_that_still_stands_of_the_others(county, look):
    one = rows("Station,Date,Secchi (m)", "CL1,2025-06-10,4.0", "CL1,2025-07-10,4.2", "CL1,2025-08-10,4.4")
    two, three = one.replace("4.0", "3.9"), one.replace("4.0", "3.9").replace("4.2", "3.8")
    for text in (one, two):
        accept(county, look(sheet=text), **WHO)
    found = look(sheet=three)
    assert found.differences[["before", "after"]].to_numpy().tolist() == [["4.2", "3.8"]]
    assert found.problems == ()
    accept(county, found, **WHO)
    assert [value for _, value, _ in standing(county)] == [3.9, 3.8, 4.4]
    found = look(sheet=three.rsplit("CL1", 1)[0])
    assert len(found.gone) == 1, "the row that only the first version brought leaves with the fourth"
    accept(county, found, **WHO)
    assert [value for _, value, _ in standing(county)] == [3.9, 3.8]


def test_result_whose_filter_leaves_the_corrected_sheet_waits(county, look):
    accept(county, look(sheet=ONE, lab=EXTRACT), **WHO)
    accept(county, look(sheet=ONE.replace(F1, "")), **WHO)
    ((station, *_, status, reason),) = results(county)
    assert (station, status, reason) == ("CL1", "held", "volume_missing")


def test_results_that_a_corrected_sheet_does_not_touch_stay_as_they_stand(county, look):
    other = ONE.replace("CL1", "CL2").replace(B1, code(2, 1)).replace(F1, code(2, 2))
    both = EXTRACT + EXTRACT.splitlines()[1].replace(F1, code(2, 2)) + "\n"
    accept(county, look(sheet=ONE, other=other, lab=both), **WHO)
    kept = county.fetch_rows(
        "SELECT reading_id FROM readings WHERE left_in IS NULL AND sample_code = ?", (code(2, 2),)
    )
    accept(county, look(sheet=ONE.replace(",500", ",400")), **WHO)
    assert set(kept) <= set(county.fetch_rows("SELECT reading_id FROM readings WHERE left_in IS NULL"))


def chlorophyll_id(record: Record) -> int:
    (number,) = record.fetch_rows(
        "SELECT reading_id FROM readings JOIN quantities USING (quantity_id) WHERE code = 'chlorophyll_a'"
        " AND left_in IS NULL AND sample_code = ?", (F1,)
    )[0]  # fmt: skip
    return int(number)


def asked_of(record: Record) -> str:
    state = reading_history(record, chlorophyll_id(record))[-1]
    problem = ReasonProblems(record)(state.reason, state.source)
    return problem.sentence if problem else ""


def said_of(found: CheckIn, problem: str) -> list[str]:
    return [each.sentence for each in found.problems if each.code == problem]


LESS = ONE.replace(",500", ",400")


def test_result_corrected_by_hand_outlives_a_corrected_sheet_and_is_pointed_out(county, look):
    accept(county, look(sheet=ONE, lab=EXTRACT), **WHO)
    correct(county, chlorophyll_id(county), {"value": 50.0}, who="M. Oak", why="Read again")
    found = look(sheet=LESS)
    (said,) = said_of(found, "corrected_before")
    assert said.startswith('"0.300 | 0.190": M. Oak corrected this reading by hand on ')
    assert "(Read again), and it stays so: 50 (500 mL)." in said
    assert "from the file it would now be 73.42 (400 mL)." in said
    assert not len(found.held)
    accept(county, found, **WHO)
    assert results(county)[0][2:4] == (50.0, "accepted with a remark")


def test_sheet_that_agrees_at_last_with_what_was_typed_asks_nothing(county, look):
    accept(county, look(sheet=ONE, lab=EXTRACT), **WHO)
    correct(county, chlorophyll_id(county), {"value": PER_LITRE / 0.4}, who="M. Oak", why="It was 400")
    found = look(sheet=LESS)
    assert not said_of(found, "corrected_before")
    accept(county, found, **WHO)
    assert results(county)[0][2:4] == (round(PER_LITRE / 0.4, 3), "accepted with a remark")


@pytest.mark.parametrize("status", ["accepted", "accepted with a remark", "held", "rejected"])
def test_result_decided_on_by_hand_is_asked_about_when_its_volume_is_corrected(county, look, status):
    accept(county, look(sheet=ONE, lab=EXTRACT), **WHO)
    mark(county, chlorophyll_id(county), status, who="L. Birch", why="A calm week")
    found = look(sheet=LESS)
    (said,) = said_of(found, "decided_before")
    assert "L. Birch decided on this reading on " in said
    assert "A calm week), when it stood as 58.74 (500 mL)" in said
    assert "it comes to 73.42 (400 mL), which waits" in said
    assert found.differences["after"].tolist()[0] == "73.42 (400 mL) [waits]"
    assert found.account.adds_up
    accept(county, found, **WHO)
    waiting = [("CL1", "2025-06-10", round(PER_LITRE / 0.4, 3), "held", "decided_before")]
    assert results(county) == waiting
    assert asked_of(county) == said, "the numbers stand beside it for whoever decides"
    assert reading_origin(county, chlorophyll_id(county)).states[1].change.who == "L. Birch"

    accept(county, look(sheet=LESS.replace("4.0", "4.1")), **WHO)
    assert results(county) == waiting, "it waits until somebody decides, whatever else of the sheet changes"
    mark(county, chlorophyll_id(county), "accepted with a remark", who="L. Birch", why="Still calm")
    found = look(sheet=LESS.replace("4.0", "4.2"))
    assert not said_of(found, "decided_before"), "what was decided on anew is not asked once more"
    accept(county, found, **WHO)
    assert results(county)[0][2:] == (round(PER_LITRE / 0.4, 3), "accepted with a remark", "Still calm")


def test_laboratory_s_own_figure_waits_when_the_volume_on_its_sheet_is_corrected(county, look):
    lab = rows("Sample,Chlorophyll a corrected (ug/L)", f"{F1},3.4")
    accept(county, look(sheet=ONE, lab=lab), **WHO)
    found = look(sheet=LESS)
    (said,) = said_of(found, "figure_of_other_volume")
    assert "figure of 3.4 came when the data sheet said 500 mL; the sheet now says 400 mL" in said
    accept(county, found, **WHO)
    waiting = [("CL1", "2025-06-10", 3.4, "held", "figure_of_other_volume")]
    assert results(county) == waiting
    assert asked_of(county) == said, "the numbers stand beside it for whoever decides"
    accept(county, look(sheet=LESS.replace("4.0", "4.1")), **WHO)
    assert results(county) == waiting, "it waits until somebody decides, whatever else of the sheet changes"


def test_laboratory_s_own_figure_that_names_its_volume_needs_no_question(county, look):
    lab = rows("Sample,Chlorophyll a corrected (ug/L),Volume filtered (mL)", f"{F1},3.4,400")
    accept(county, look(sheet=ONE, lab=lab), **WHO)
    assert not said_of(look(sheet=LESS), "figure_of_other_volume")


def test_reading_decided_on_by_hand_is_asked_about_when_its_own_cell_is_corrected(county, look):
    accept(county, look(sheet=ONE), **WHO)
    (number,) = county.fetch_rows(
        "SELECT reading_id FROM readings JOIN files USING (file_id) WHERE name = 'sheet.csv'"
    )[0]
    mark(county, number, "rejected", who="L. Birch", why="Read from the wrong boat")
    assert look(sheet=ONE.replace("4.0", "4.00")).differences.empty, "the same value: the decision stands"
    found = look(sheet=ONE.replace("4.0", "3.0"))
    (said,) = said_of(found, "decided_before")
    assert "Read from the wrong boat), when it stood as 4.0." in said
    assert [each.account.held for each in found.files] == [1]
    accept(county, found, **WHO)
    assert standing(county) == [["secchi_depth", 3.0, "held"]]
    accept(county, look(sheet=ONE.replace("4.0", "3.0").replace(",500", ",501")), **WHO)
    assert standing(county) == [["secchi_depth", 3.0, "held"]], "no corrected file answers for a person"


def test_day_on_which_the_laboratory_says_otherwise_is_asked_about_whatever_it_calls_the_place(county, look):
    lab = rows("Location,Collected,Sample,TP (ug/L)", f"Mid-lake buoy,2025-06-12,{B1},25")
    assert look(sheet=ONE, lab=lab).held["reason"].tolist() == ["sheet_says_otherwise"]
    assert look(sheet=ONE, lab=lab.replace("06-12", "06-10")).accepted["station_code"].tolist() == ["CL1"] * 2


CAST = rows(
    "Station,Date,Time,Depth (m),Temp (C)", "CL1,2025-06-01,10:00,1,18.0", "CL1,2025-06-01,10:00,1,18.2"
)


def test_profile_in_two_files_of_one_delivery_is_taken_once(county, look):
    assert len(look(one=CAST).accepted) == 2, "a probe may read twice at one depth"
    found = look(one=CAST, other=CAST + "CL1,2025-06-01,10:05,2,17.0\n")
    assert found.accepted["as_written"].tolist() == ["18.0", "18.2", "17.0"]
    assert found.refused["reason"].tolist() == ["visit_repeated"] * 2
    found = look(one=CAST, other=CAST.replace("18.0", "19.0"))
    assert found.held["reason"].tolist() == ["visit_twice"] * 2
    later = look(one=CAST, other=CAST.replace("10:00", "15:00"))
    assert len(later.accepted) == 4


def test_volume_that_two_sheets_tell_differently_holds_the_results(county, look):
    accept(county, look(sheet=ONE), **WHO)
    found = look(other=ONE.replace(",500", ",400"), lab=EXTRACT)
    assert set(found.held["reason"]) == {"sheets_tell_volumes"}
    (said,) = [str(each) for each in found.problems if each.code == "sheets_tell_volumes"]
    assert said.startswith(
        'other.csv, row 2, "Filter": data sheets tell different volumes for this filter: 400 mL, 500 mL.'
    )


def test_sheet_that_tells_another_volume_later_asks_about_results_that_stand(county, look):
    accept(county, look(sheet=ONE, lab=EXTRACT), **WHO)
    same = ONE.replace("4.0", "4.00")
    assert not len(look(other=same).held)
    found = look(other=same.replace(",500", ",400"))
    assert found.differences[["before", "after"]].to_numpy().tolist()[0] == [
        "58.74 (500 mL)", "73.42 (400 mL) [waits]"]  # fmt: skip
    accept(county, found, **WHO)
    assert [each[3:] for each in results(county)] == [("held", "sheets_tell_volumes")]
