"""The register of sample codes: none is given twice, the same visit keeps its own, come what may."""

import threading
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.intake import label_file
from explorer.intake.label_file import given_codes, open_register, register_beside
from explorer.intake.label_register import LabelRegister
from explorer.intake.sample_codes import read_sample_codes, sample_code, serial_of
from explorer.model.errors import ExplorerError

DAY = date(2025, 5, 1)
HEADINGS = "sample_code,station_code,month,day,use,given_on"
stations = st.sampled_from(["A1", "A2", "B1"])
days = st.sampled_from(["", "2025-06-03", "2025-06-20"])
uses = st.sampled_from(["sample", "field blank"])
visits = st.lists(st.tuples(stations, st.just("2025-06"), days, uses), max_size=6)


def codes(register: LabelRegister, *visits, used=(), after=0):
    return register.codes_for(list(visits), used, DAY, after)


def june(station: str, day: str = "", use: str = "sample"):
    return station, "2025-06", day, use


@given(st.lists(visits, max_size=5))
def test_no_code_is_given_twice_and_the_same_list_gets_the_same(runs) -> None:
    register = LabelRegister([])
    for run in runs:
        first = codes(register, *run)
        assert codes(register, *run) == first
        assert len(set(first)) == len(run)
        assert not read_sample_codes(first).problem.any()
    owners = [each.sample_code for each in register.given]
    assert len(set(owners)) == len(owners)


def test_new_codes_go_on_behind_record_register_and_what_is_said() -> None:
    register = LabelRegister([])
    assert (
        serial_of(codes(register, june("A1"), used=[sample_code(2025, 41, 1), "by hand", "240995"])[0]) == 42
    )
    assert serial_of(codes(register, june("A2"))[0]) == 43
    assert serial_of(codes(register, june("B1"), after=200)[0]) == 201
    assert serial_of(codes(register, ("B1", "2026-06", "", "sample"))[0]) == 1


def test_a_code_with_a_wrong_digit_in_the_record_takes_no_number() -> None:
    assert read_sample_codes(["251999-1"]).problem[0] == "sample_code_check"
    assert serial_of(codes(LabelRegister([]), june("A1"), used=["251999-1"])[0]) == 1


def test_a_visit_whose_day_is_settled_later_keeps_its_code() -> None:
    register = LabelRegister([])
    open_day = codes(register, june("A1"), june("A1"))
    assert codes(register, june("A1", "2025-06-03")) == open_day[:1]
    assert codes(register, june("A1", "2025-06-20")) == open_day[1:]
    assert codes(register, june("A1", "2025-06-03")) == open_day[:1]
    assert codes(register, june("A1"), june("A1")) == open_day  # printed again for the whole month


def test_a_later_list_with_another_day_gets_another_code() -> None:
    register = LabelRegister([])
    first = codes(register, june("A1", "2025-06-03"))
    assert codes(register, june("A1", "2025-06-20")) != first


def test_two_visits_on_one_day_and_a_blank_have_a_code_each() -> None:
    day = "2025-06-03"
    found = codes(LabelRegister([]), june("A1", day), june("A1", day), june("A1", day, "field blank"))
    assert len(set(found)) == 3


def test_a_year_without_numbers_left_says_so() -> None:
    with pytest.raises(ExplorerError, match="The sample codes of 2025 are used up: a year has 9999"):
        codes(LabelRegister([]), june("A1"), used=[sample_code(2025, 9999)])


def test_register_is_on_the_disk_and_read_again(tmp_path: Path) -> None:
    path = register_beside(tmp_path / "county.gpkg")
    assert path.name == "county.gpkg.labels.csv"
    assert given_codes(path) == ()
    with open_register(path) as register:
        first = codes(register, june("A1"), june('=A"1,\n'))
    with open_register(path) as register:
        assert codes(register, june("A1"), june('=A"1,\n')) == first
    assert [each.sample_code for each in given_codes(path)] == first
    assert [each.name for each in tmp_path.iterdir()] == [path.name]


def test_a_failure_while_codes_are_given_leaves_the_register_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "x.labels.csv"
    with open_register(path) as register:
        codes(register, june("A1"))
    before = path.read_bytes()

    def fail() -> None:
        with open_register(path) as register:
            codes(register, june("A2"))
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    assert path.read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == [path.name]


def test_two_at_once_never_give_the_same_code(tmp_path: Path) -> None:
    path = tmp_path / "x.labels.csv"
    given: list[str] = []

    def give(station: str) -> None:
        with open_register(path) as register:
            given.extend(codes(register, june(station)))

    threads = [threading.Thread(target=give, args=(f"A{number}",)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(given) == len(set(given)) == 8


def test_somebody_else_giving_codes_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(label_file, "LOCK_WAIT_S", 0.0)
    path = tmp_path / "x.labels.csv"
    with (
        open_register(path),
        pytest.raises(ExplorerError, match="Somebody else is giving sample codes"),
        open_register(path),
    ):
        pass


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a,b\n1,2\n", "no register of sample codes any more"),
        (f"{HEADINGS}\n250122,A1\n", "no register"),
        (
            f"{HEADINGS}\n250123,A1,2025-06,,sample,x\n",
            "is no sample code",
        ),
        (b"\xff\xfe\x00", "cannot be read"),
    ],
)
def test_a_damaged_register_gives_no_codes(tmp_path: Path, text: str | bytes, message: str) -> None:
    path = tmp_path / "x.labels.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    before = path.read_bytes()
    with pytest.raises(ExplorerError, match=message), open_register(path):
        pass
    assert path.read_bytes() == before


def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    with pytest.raises(ExplorerError, match="cannot be written"), open_register(tmp_path / "no" / "x.csv"):
        pass
