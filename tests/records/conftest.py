"""What the tests of the record share: a cache of their own, folders from texts, a large record."""

import importlib.util
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from explorer.records.cache import CACHE_VARIABLE

LONG_HEADING = "station_code,taken_on,quantity,value,unit"
STATIONS = """code,name,lake_code,longitude_deg,latitude_deg,bottom_depth_m,is_index
HM1,Middle,HM,-30.01,45.02,2.4,yes
HM2,Inlet,HM,-30.02,45.03,1.5,no
"""
LAKES = """code,name,kind,attributes,area_km2,altitude_m,maximum_depth_m
HM,Hollow Mere,pond,shallow stained,0.1,210,2.5
"""


@pytest.fixture(autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Records built from texts land in a folder of the test's own."""
    place = tmp_path_factory.mktemp("cache")
    monkeypatch.setenv(CACHE_VARIABLE, str(place))
    return place


@pytest.fixture
def folder(tmp_path: Path) -> Callable[[Mapping[str, str | bytes]], Path]:
    """Write texts by name into a new folder and return it."""

    def write(files: Mapping[str, str | bytes]) -> Path:
        place = tmp_path / f"folder{len(list(tmp_path.iterdir()))}"
        for name, content in files.items():
            path = place / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return place

    return write


@pytest.fixture
def listed(folder: Callable[[Mapping[str, str | bytes]], Path]) -> Callable[..., Path]:
    """Write a folder with a list of lakes, one of stations, and the given rows of readings."""

    def write(*rows: str, heading: str = LONG_HEADING, **files: str) -> Path:
        readings = "\n".join((heading, *rows)) + "\n"
        return folder({"lakes.csv": LAKES, "stations.csv": STATIONS, "readings.csv": readings, **files})

    return write


def _load_large_record() -> Any:
    path = Path(__file__).parent.parent / "benchmarks" / "large_record.py"
    spec = importlib.util.spec_from_file_location("large_record", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def large_record(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    """Make a large record, once for each size."""
    made: dict[tuple[int, int], Path] = {}
    place = tmp_path_factory.mktemp("large")

    def make(stations: int, per_quantity: int) -> Path:
        size = (stations, per_quantity)
        if size not in made:
            path = place / f"{stations}x{per_quantity}.gpkg"
            made[size] = _load_large_record().make_large_record(
                path, stations=stations, per_quantity=per_quantity
            )
        return made[size]

    return make
