"""Makes the demo record's texts: `python demo_geo/make_demo.py [folder]`, the same ones on every machine."""

import argparse
import csv
import io
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from question_cards import QUESTION_CARDS
from readme import readme_text
from season_sheets import season_files
from shapes import (
    KmPoint,
    island_ring,
    ring_area_km2,
    rough_shore,
    smooth_ring,
    to_degrees,
    widened_line,
)
from sheet_rows import COLUMNS, Row, rows_of_visit
from visits import all_visits
from waters import PLACES, WATERS, Water

STREAM_WIDTHS_KM = (0.06, 0.12)


PROGRAMME = """# Settings of the invented programme behind the demo record.
name = "Vellory District volunteer lake programme (invented)"
time_zone = "Etc/GMT+2"
season_months = [5, 6, 7, 8, 9]
minimum_visits = 3
minimum_months = 3
length_unit = "m"
scheme = "carlson_simpson_1996"
language = "en"
trend_years = 8
contact = "Lake desk of the programme: lakes@vellory.example, Tuesdays and Thursdays."

# How its volunteers work, for the exercises of `station-explorer practice`.
[practice]
line = "decimetres"
boat_side = "shaded"
viewer = false
settle = "middle"
readings = 5
most_vacuum_kpa = 20

# The district's own rule, invented for the demo: a class scheme of the programme stands beside the published
# ones in the menu. Classes from best to worst; limits between them, per quantity.
[class_schemes.vellory_district]
format = 1
name = "Vellory District rule"
source = "Invented for the demo."
note = "An example of a local rule: three classes, judged by the mean of the season."
kinds = ["lake", "reservoir", "pond"]
classes = ["clear", "middling", "rich"]
letters = ["C", "D", "R"]
priority = ["chlorophyll_a", "total_phosphorus", "secchi_depth"]

[class_schemes.vellory_district.limits.chlorophyll_a]
statistic = "mean"
window = "season"
upper = [4, 15]
boundary = "better"

[class_schemes.vellory_district.limits.total_phosphorus]
statistic = "mean"
window = "season"
upper = [15, 40]
boundary = "better"

[class_schemes.vellory_district.limits.secchi_depth]
statistic = "mean"
window = "season"
upper = [3, 1.2]
boundary = "better"
"""


def outline(water: Water) -> list[list[KmPoint]]:
    """Return the shore, anticlockwise, and the islands, clockwise."""
    if water.kind == "stream":
        shore = widened_line(water.points, STREAM_WIDTHS_KM)
    else:
        phase = 1.7 * WATERS.index(water)
        shore = rough_shore(smooth_ring(water.points), phase, water.roughness_km)
    if ring_area_km2(shore) < 0:
        shore.reverse()
    return [shore, *(island_ring(centre, radius) for centre, radius in water.islands)]


def lakes_geojson() -> str:
    """Return the waters with their outlines."""
    return _collection(
        (
            {
                "code": water.code,
                "name": water.name,
                "kind": water.kind,
                "attributes": water.attributes,
                "area_km2": round(sum(ring_area_km2(ring) for ring in outline(water)), 2),
                "altitude_m": water.altitude_m,
                "maximum_depth_m": water.maximum_depth_m,
            },
            {"type": "Polygon", "coordinates": [[to_degrees(p) for p in ring] for ring in outline(water)]},
        )
        for water in WATERS
    )


def stations_geojson() -> str:
    """Return the stations as points."""
    return _collection(
        (
            {
                "code": place.code,
                "name": place.name,
                "lake_code": place.lake_code,
                "bottom_depth_m": place.bottom_depth_m,
                "is_index": place.is_index,
            },
            {"type": "Point", "coordinates": to_degrees(place.point)},
        )
        for place in PLACES
    )


def _collection(features: Iterable[tuple[dict[str, Any], dict[str, Any]]]) -> str:
    lines = [
        json.dumps({"type": "Feature", "properties": properties, "geometry": geometry}, ensure_ascii=False)
        for properties, geometry in features
    ]
    return '{"type": "FeatureCollection", "features": [\n' + ",\n".join(lines) + "\n]}\n"


def readings_csv(rows: list[Row]) -> str:
    """Return rows as CSV, without the columns that none of them uses."""
    used = [column for column in COLUMNS if any(row.get(column) for row in rows)]
    text = io.StringIO()
    writer = csv.DictWriter(text, used, restval="", extrasaction="ignore", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def demo_texts() -> dict[str, bytes]:
    """Return every file of the demo by its path in the folder."""
    visited = [(visit, list(rows_of_visit(visit))) for visit in all_visits()]
    texts = {
        ".gitattributes": "* -text\n",  # the texts are compared byte for byte
        "README.md": readme_text(),
        "programme.toml": PROGRAMME,
        "question_cards.toml": QUESTION_CARDS,
        "lakes.geojson": lakes_geojson(),
        "stations.geojson": stations_geojson(),
    }
    for water in WATERS:
        rows = [row for visit, of_visit in visited if visit.water is water for row in of_visit]
        texts[f"readings/{water.name.lower().replace(' ', '_')}.csv"] = readings_csv(rows)
    sheets = {f"season_2025_sheets/{name}": content for name, content in season_files(visited).items()}
    return {name: text.encode() for name, text in texts.items()} | sheets


def main(folder: Path) -> None:
    """Write the demo into a folder."""
    for name, content in demo_texts().items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description="Makes every file of the demo again.")
    parser.add_argument("folder", nargs="?", type=Path, default=Path(__file__).parent, help="where to")
    main(parser.parse_args().folder)
