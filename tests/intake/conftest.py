"""What the tests of the intake share: the stations of the invented district, and how a text is read."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from explorer.demo import demo_folder
from explorer.intake.reading import FileReading, read_file
from explorer.intake.refresh import refresh
from explorer.intake.station_names import StationNames
from explorer.model.places import Lake, Station
from explorer.model.problems import Problem
from explorer.records.new_record import make_record
from explorer.records.opening import open_record
from explorer.records.record import Record

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


LAKE = {
    "type": "Polygon",
    "coordinates": [[[-30.1, 45.0], [-30.0, 45.0], [-30.0, 45.1], [-30.1, 45.1], [-30.1, 45.0]]],
}


@pytest.fixture(scope="session")
def county_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small record: six stations of one lake with five years each, the last of them outside the lake."""
    place = tmp_path_factory.mktemp("county")
    folder = place / "county"
    folder.mkdir()
    properties = {"code": "CL", "name": "Corrow Lake", "kind": "lake", "altitude_m": 100}
    lake = {"type": "Feature", "geometry": LAKE, "properties": properties}
    (folder / "lakes.geojson").write_text(json.dumps({"type": "FeatureCollection", "features": [lake]}))
    stations = ["code,name,lake_code,longitude_deg,latitude_deg,bottom_depth_m,is_index"]
    stations += [f"CL{n},Corrow {n},CL,{-30.05 if n < 6 else -29.5},45.0{n},20,yes" for n in range(1, 7)]
    (folder / "stations.csv").write_text("\n".join(stations) + "\n")
    rows = ["station_code,taken_on,quantity,value,unit,observer"]
    for n in range(1, 7):
        for year in range(2019, 2024):
            for month, clarity in ((6, 4.0), (7, 3.0), (8, 5.0)):
                day = f"CL{n},{year}-{month:02d}-15"
                rows += [
                    f"{day},Secchi depth,{clarity},m,V1",
                    f"{day},TP,{18 + 2 * (month + year % 5 - 6)},ug/L,V1",
                ]
    (folder / "readings.csv").write_text("\n".join(rows) + "\n")
    path = make_record(folder, place / "county.gpkg", who="M. Oak")
    record = open_record(path)
    refresh(record)
    record.close()
    return path


@pytest.fixture
def county(county_file: Path, tmp_path: Path) -> Iterator[Record]:
    """The small record, as a file of the test's own."""
    path = tmp_path / "county.gpkg"
    path.write_bytes(county_file.read_bytes())
    record = open_record(path)
    yield record
    record.close()
