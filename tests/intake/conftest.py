"""What the tests of the intake share: the stations of the invented district, and how a text is read."""

import json
from collections.abc import Callable

import pytest

from explorer.demo import demo_folder
from explorer.intake.reading import FileReading, read_file
from explorer.intake.station_names import StationNames
from explorer.model.places import Lake, Station
from explorer.model.problems import Problem

NAN = float("nan")


@pytest.fixture(scope="session")
def district() -> StationNames:
    """All stations of the demo, as the record knows them."""
    lakes, stations = (
        [
            each["properties"]
            for each in json.loads((demo_folder() / name).read_text(encoding="utf-8"))["features"]
        ]
        for name in ("lakes.geojson", "stations.geojson")
    )
    return StationNames(
        {
            each["code"]: Station(each["code"], each["name"], each["lake_code"], NAN, NAN, NAN, False)
            for each in stations
        },
        {
            each["code"]: Lake(each["code"], each["name"], "lake", frozenset(), NAN, NAN, NAN)
            for each in lakes
        },
    )


Read = Callable[..., FileReading]


@pytest.fixture
def read(district: StationNames) -> Read:
    """Read a table written as lines of text; every account adds up."""

    def read_text(*lines: str, name: str = "sheet.csv", **options: object) -> FileReading:
        found = read_file(name, "\n".join(lines).encode(), stations=district, **options)  # type: ignore[arg-type]
        assert found.account.adds_up
        return found

    return read_text


Codes = Callable[[FileReading], list[tuple[str, int, str, str]]]


@pytest.fixture
def doubts() -> Codes:
    """Return code, row, column and text of every problem."""

    def of(found: FileReading) -> list[tuple[str, int, str, str]]:
        assert all(isinstance(each, Problem) and str(each) for each in found.problems)
        return [(each.code, each.source.row, each.source.column, each.found) for each in found.problems]

    return of
