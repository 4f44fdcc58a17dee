"""The demo record: the same texts again, stations inside their waters, every story in the numbers."""

import json
import math
import re
import subprocess
import sys
from itertools import combinations
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import shapely

from explorer import demo
from explorer.demo import demo_folder, notebooks_folder
from explorer.model.errors import RecordError
from explorer.model.places import ATTRIBUTES, WATER_KINDS
from explorer.model.programme_text import read_programme
from explorer.model.quantities import QUANTITIES
from explorer.model.readings import ENTRIES, SAMPLE_TYPES, STATUSES, STRATA
from explorer.model.units import convert

FOLDER = demo_folder()
YEARS = range(2006, 2026)
MAP_PIXELS = (340, 420)  # the map beside the panels at 1440 x 900
DOT_PIXELS = 12
TEXTS = (".md", ".toml", ".geojson", ".csv", ".gitattributes")


def written_columns(path: Path) -> pd.DataFrame:
    """Return a file's cells as text, with the value as a number in record units and its sign beside."""
    frame = pd.read_csv(path, dtype=str, keep_default_na=False)
    number = pd.to_numeric(frame["value"].str.lstrip("<>"), errors="coerce")
    for (quantity, unit), rows in frame.groupby(["quantity", "unit"]).groups.items():
        number[rows] = convert(number[rows], unit, QUANTITIES[quantity].unit)
    sign = frame["value"].str[0].where(frame["value"].str[0].isin(["<", ">"]), "=")
    day = pd.to_datetime(frame["taken_on"])
    return frame.assign(
        number=number,
        sign=sign,
        year=day.dt.year,
        month=frame["taken_on"].str[:7],
        in_season=day.dt.month.between(5, 9),
    )


@pytest.fixture(scope="module")
def every_row() -> pd.DataFrame:
    frames = [written_columns(path) for path in sorted((FOLDER / "readings").glob("*.csv"))]
    return pd.concat(frames, ignore_index=True).fillna(dict.fromkeys(ENTRIES, ""))


@pytest.fixture(scope="module")
def surface(every_row: pd.DataFrame) -> pd.DataFrame:
    """Routine surface readings that count."""
    return every_row[
        (every_row["sample_type"] == "routine")
        & (every_row["stratum"] == "surface")
        & ~every_row["status"].isin(["held", "rejected"])
    ]


@pytest.fixture(scope="module")
def seasons(surface: pd.DataFrame) -> pd.Series:
    """Season medians by station, quantity and year."""
    in_season = surface[surface["in_season"]]
    return in_season.groupby(["station_code", "quantity", "year"])["number"].median()


@pytest.fixture(scope="module")
def places() -> tuple[dict[str, dict], dict[str, dict]]:
    """Features of waters and stations by code."""
    read = (json.loads((FOLDER / name).read_text("utf-8")) for name in ("lakes.geojson", "stations.geojson"))
    lakes, stations = ({each["properties"]["code"]: each for each in one["features"]} for one in read)
    return lakes, stations


def median(seasons: pd.Series, station: str, quantity: str, first: int, last: int) -> float:
    return float(seasons.loc[station, quantity].loc[first:last].median())


def wide_seasons(seasons: pd.Series, station: str) -> pd.DataFrame:
    """Season medians of one station, a column for each quantity."""
    return seasons.loc[station].reset_index().pivot_table(index="year", columns="quantity", values="number")


def tsi_of_chlorophyll(chlorophyll_a_ug_per_l: float) -> float:
    return 9.81 * math.log(chlorophyll_a_ug_per_l) + 30.6  # Carlson 1977


def tsi_of_phosphorus(total_phosphorus_ug_per_l: float) -> float:
    return 14.42 * math.log(total_phosphorus_ug_per_l) + 4.15  # Carlson 1977


def tsi_of_secchi(secchi_depth_m: float) -> float:
    return 60 - 14.41 * math.log(secchi_depth_m)  # Carlson 1977


# The texts


def test_generator_in_an_empty_folder_writes_the_stored_texts_byte_for_byte(tmp_path: Path) -> None:
    generator = FOLDER / "make_demo.py"
    subprocess.run([sys.executable, "-B", str(generator), str(tmp_path)], check=True, timeout=120)
    made = {path.relative_to(tmp_path) for path in tmp_path.rglob("*") if path.is_file()}
    stored = {
        path.relative_to(FOLDER)
        for path in FOLDER.rglob("*")
        if path.is_file() and (path.suffix in TEXTS or path.name in TEXTS)
    }
    assert made == stored
    different = [str(name) for name in made if (tmp_path / name).read_bytes() != (FOLDER / name).read_bytes()]
    assert different == []


def test_demo_folder_stays_below_three_megabytes() -> None:
    texts = [path for path in FOLDER.rglob("*") if path.is_file() and "__pycache__" not in path.parts]
    assert sum(path.stat().st_size for path in texts) < 3_000_000


def test_demo_folder_of_an_incomplete_installation_is_a_kind_error(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(demo, "_PACKAGE", tmp_path / "explorer")
    with pytest.raises(RecordError, match=r"lacks the demo record.*Install the package again"):
        demo_folder()
    with pytest.raises(RecordError, match="lacks the notebooks"):
        notebooks_folder()


def test_demo_folder_of_an_installed_package_lies_inside_it(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    shared = tmp_path / "explorer" / "_share" / "demo_geo"
    shared.mkdir(parents=True)
    (shared / "stations.geojson").write_text("{}")
    monkeypatch.setattr(demo, "_PACKAGE", tmp_path / "explorer")
    assert demo_folder() == shared


def test_programme_settings_are_read_without_a_complaint() -> None:
    programme = read_programme((FOLDER / "programme.toml").read_text("utf-8"))
    assert programme.season_months == (5, 6, 7, 8, 9)
    assert programme.scheme == "carlson_simpson_1996"


# The places


def test_district_has_twelve_waters_and_forty_stations_of_known_kinds(places: tuple[dict, dict]) -> None:
    lakes, stations = places
    assert (len(lakes), len(stations)) == (12, 40)
    assert {lake["properties"]["kind"] for lake in lakes.values()} == set(WATER_KINDS)
    assert {word for lake in lakes.values() for word in lake["properties"]["attributes"].split()} == set(
        ATTRIBUTES
    )
    index = [s["properties"]["lake_code"] for s in stations.values() if s["properties"]["is_index"]]
    assert sorted(index) == sorted(lakes)


def test_outlines_are_valid_and_run_as_the_geojson_standard_asks(places: tuple[dict, dict]) -> None:
    """RFC 7946, section 3.1.6: outer ring anticlockwise, holes clockwise."""
    for code, lake in places[0].items():
        shape = shapely.geometry.shape(lake["geometry"])
        assert shape.is_valid, code
        assert shape.exterior.is_ccw, code
        assert not any(ring.is_ccw for ring in shape.interiors), code


def test_stations_lie_inside_their_waters_and_not_deeper_than_these(places: tuple[dict, dict]) -> None:
    lakes, stations = places
    for code, station in stations.items():
        lake = lakes[station["properties"]["lake_code"]]
        shape, point = (shapely.geometry.shape(each["geometry"]) for each in (lake, station))
        assert shape.contains(point), code
        assert station["properties"]["bottom_depth_m"] <= lake["properties"]["maximum_depth_m"], code


def test_waters_do_not_overlap_but_where_the_beck_runs_in_and_out(places: tuple[dict, dict]) -> None:
    shapes = {code: shapely.geometry.shape(lake["geometry"]) for code, lake in places[0].items()}
    touching = {
        frozenset(pair) for pair in combinations(shapes, 2) if shapes[pair[0]].intersects(shapes[pair[1]])
    }
    assert touching == {frozenset({"VEL", "SED"}), frozenset({"SED", "DUN"})}


def test_stations_on_the_small_map_do_not_overlap(places: tuple[dict, dict]) -> None:
    """The largest whole zoom level at which the district fits the map, in the tile scheme's Web Mercator."""
    lakes, stations = places

    def pixels(longitude_deg: float, latitude_deg: float, zoom: int) -> np.ndarray:
        size = 256 * 2**zoom
        north = math.log(math.tan(math.pi / 4 + math.radians(latitude_deg) / 2))
        return np.array([size * longitude_deg / 360, size * north / (2 * math.pi)])

    west, south, east, north = shapely.union_all(
        [shapely.geometry.shape(lake["geometry"]) for lake in lakes.values()]
    ).bounds
    fitting = [
        zoom
        for zoom in range(19)
        if (np.abs(pixels(east, north, zoom) - pixels(west, south, zoom)) <= MAP_PIXELS).all()
    ]
    dots = [pixels(*station["geometry"]["coordinates"], fitting[-1]) for station in stations.values()]
    assert min(np.linalg.norm(a - b) for a, b in combinations(dots, 2)) > DOT_PIXELS


# The readings


def test_readings_cover_twenty_seasons_with_known_words_only(
    every_row: pd.DataFrame, places: tuple[dict, dict]
) -> None:
    assert set(every_row["year"]) == set(YEARS)
    assert set(every_row["station_code"]) == set(places[1]) - {"DUN5"}
    assert set(every_row["quantity"]) <= set(QUANTITIES)
    assert set(every_row["stratum"]) <= set(STRATA)
    assert set(every_row["status"]) <= set(STATUSES)
    assert set(every_row["sample_type"]) <= set(SAMPLE_TYPES)
    known = {*ENTRIES, "unit", "number", "year", "month", "in_season"}
    assert set(every_row.columns) <= known


def test_values_are_numbers_but_for_the_one_that_waits_for_its_limit(every_row: pd.DataFrame) -> None:
    strange = every_row[every_row["number"].isna()]
    assert strange["value"].tolist() == ["ND"]
    assert strange["status"].tolist() == ["held"]


def test_values_below_and_between_the_limits_carry_the_laboratory_s_letters(every_row: pd.DataFrame) -> None:
    lab = every_row[(every_row["batch"] != "") & (every_row["status"] != "held")]
    detection, reporting = (
        lab["detection_limit"].astype(float),
        lab["reporting_limit"].astype(float),
    )
    written = lab["value"].str.lstrip("<").astype(float)
    assert (lab["qualifier"] == "U").equals(lab["sign"] == "<")
    assert (written[lab["sign"] == "<"] == detection[lab["sign"] == "<"]).all()
    estimated = lab["qualifier"] == "J"
    assert ((written >= detection) & (written < reporting))[estimated].all()
    assert (written >= reporting)[lab["qualifier"] == ""].all()


def test_disk_is_seen_no_deeper_than_the_water_but_on_the_sheet_in_feet(
    surface: pd.DataFrame, places: tuple[dict, dict]
) -> None:
    secchi = surface[surface["quantity"] == "secchi_depth"]
    bottom = secchi["station_code"].map(
        {code: s["properties"]["bottom_depth_m"] for code, s in places[1].items()}
    )
    deeper = secchi[secchi["number"] > bottom + 0.3]  # the level moves by less
    assert set(deeper["month"]) == {"2018-07"}
    assert set(deeper["station_code"]) == {"ASK2", "ASK3"}


def test_every_delivery_has_one_blank_and_duplicates_near_their_parents(every_row: pd.DataFrame) -> None:
    lab = every_row[(every_row["batch"] != "") & (every_row["quantity"] == "total_phosphorus")]
    kinds = lab.groupby(["batch", "sample_type"]).size()
    assert set(kinds.loc[:, ["field blank", "field duplicate"]]) == {1}
    assert len(kinds) == 3 * lab["batch"].nunique()
    twice = lab[lab["sample_type"] == "field duplicate"]
    parents = lab[lab["sample_type"] == "routine"].set_index("sample_code")["number"]
    ratio = twice["number"].to_numpy() / parents[twice["parent_sample"]].to_numpy()
    assert np.nanmax(np.abs(np.log(ratio))) < 0.4


def test_sample_codes_are_unique_digits_with_a_check_digit(every_row: pd.DataFrame) -> None:
    """ISO/IEC 7064, MOD 11,10: run over all digits with the check digit, the remainder is 1."""

    def remainder(digits: str) -> int:
        product = 10
        for digit in digits[:-1]:
            product = ((int(digit) + product) % 10 or 10) * 2 % 11
        return (product + int(digits[-1])) % 10

    assert remainder("07945") == 1  # the standard's own example, from memory
    codes = every_row.loc[every_row["sample_code"] != "", "sample_code"]
    assert codes.str.fullmatch(r"\d{6}-[1-4]").all()
    assert {remainder(code[:6]) for code in codes.unique()} == {1}
    per_bottle = every_row[every_row["sample_code"] != ""].groupby(["sample_code", "quantity"]).size()
    assert per_bottle.max() == 1


def test_samples_are_analysed_within_holding_times(every_row: pd.DataFrame) -> None:
    """Chlorophyll filters 3.5 weeks (EPA 446.0, from memory), preserved nutrients 28 days (40 CFR 136.3)."""
    lab = every_row[every_row["analysed_on"] != ""]
    days = (pd.to_datetime(lab["analysed_on"]) - pd.to_datetime(lab["taken_on"])).dt.days
    assert days.min() > 0
    assert days[lab["quantity"] == "chlorophyll_a"].max() <= 24
    assert days.max() <= 28


def test_all_four_classes_by_chlorophyll_occur_in_the_last_years(seasons: pd.Series) -> None:
    """Carlson & Simpson 1996: limits of chlorophyll a at 2.6, 7.3 and 56 µg/L."""
    medians = seasons.loc[:, "chlorophyll_a", 2021:2025].groupby("station_code").median()
    counts = pd.cut(medians, [0, 2.6, 7.3, 56, math.inf], labels=list("OMEH")).value_counts()
    assert counts["O"] >= 2
    assert counts["M"] >= 3
    assert counts["E"] >= 4
    assert counts["H"] == 1


@pytest.mark.parametrize("station", ["HOL1", "VEL1", "DUN3", "UMB1", "ASK1", "TAR1", "GRE1"])
def test_waters_without_a_story_stay_as_they_were(seasons: pd.Series, station: str) -> None:
    for quantity in ("secchi_depth", "chlorophyll_a", "total_phosphorus"):
        early, late = (median(seasons, station, quantity, *years) for years in ((2006, 2015), (2016, 2025)))
        assert 0.8 < late / early < 1.25, quantity


# The stories


def test_story_ferrow_tarn_worsens_from_oligotrophic_to_eutrophic(seasons: pd.Series) -> None:
    for station in ("FER1", "FER2"):
        years = seasons.loc[station, "total_phosphorus"]
        slope = np.polyfit(years.index, np.log(years), 1)[0]
        assert slope == pytest.approx(math.log(1.064), abs=0.012)
    assert median(seasons, "FER1", "chlorophyll_a", 2006, 2008) < 2.6
    assert median(seasons, "FER1", "chlorophyll_a", 2021, 2025) > 7.3
    for station in ("FER1", "FER2", "FER3"):
        assert median(seasons, station, "secchi_depth", 2006, 2008) > 1.6 * median(
            seasons, station, "secchi_depth", 2022, 2025
        )


def test_story_ferrow_tarn_loses_oxygen_near_the_bottom(every_row: pd.DataFrame) -> None:
    profile = every_row[
        (every_row["station_code"] == "FER1")
        & (every_row["stratum"] == "profile")
        & (every_row["quantity"] == "dissolved_oxygen")
        & every_row["taken_on"].str[5:7].eq("08")
    ]
    deepest = (
        profile.assign(depth=profile["depth_m"].astype(float))
        .sort_values("depth")
        .groupby("year")["number"]
        .last()
    )
    assert len(deepest) >= 3
    assert deepest.is_monotonic_decreasing


def test_story_tesserin_lake_recovers_in_one_step(seasons: pd.Series, every_row: pd.DataFrame) -> None:
    before, after = (
        median(seasons, "TES1", "total_phosphorus", *years) for years in ((2009, 2013), (2015, 2019))
    )
    assert after / before == pytest.approx(0.21, abs=0.04)
    long_after = median(seasons, "TES1", "total_phosphorus", 2020, 2025)
    assert long_after / after == pytest.approx(1, abs=0.15)
    assert median(seasons, "TES1", "chlorophyll_a", 2006, 2013) > 40
    assert 2.6 < median(seasons, "TES1", "chlorophyll_a", 2014, 2025) < 7.3
    bottom = every_row[
        (every_row["station_code"] == "TES1")
        & (every_row["stratum"] == "bottom")
        & every_row["taken_on"].str[5:7].eq("08")
    ].set_index("year")["number"]
    assert bottom.loc[2006:2013].median() > 6 * bottom.loc[2014:2025].median()


def test_story_umberlow_clarity_and_algae_disagree_every_year(seasons: pd.Series) -> None:
    umberlow = wide_seasons(seasons, "UMB1")
    gap = umberlow["chlorophyll_a"].map(tsi_of_chlorophyll) - umberlow["secchi_depth"].map(tsi_of_secchi)
    assert (gap < -10).all()
    assert umberlow["true_colour"].between(90, 200).all()
    vellory = wide_seasons(seasons, "VEL1")
    usual = vellory["chlorophyll_a"].map(tsi_of_chlorophyll) - vellory["secchi_depth"].map(tsi_of_secchi)
    assert abs(usual.median()) < 5


def test_story_sallow_pond_disk_lies_on_the_bottom_but_in_wind_and_flood(surface: pd.DataFrame) -> None:
    secchi = surface[(surface["station_code"] == "SAL1") & (surface["quantity"] == "secchi_depth")]
    on_bottom = secchi["sign"] == ">"
    assert on_bottom.mean() > 0.7
    assert secchi.loc[on_bottom, "number"].between(2.2, 2.6).all()
    assert set(secchi.loc[~on_bottom, "weather"]) == {"wind", "flood"}


def test_story_tarrick_pond_is_limited_by_nitrogen(surface: pd.DataFrame, seasons: pd.Series) -> None:
    pond = surface[surface["station_code"] == "TAR1"]
    wide = pond.pivot_table(index="taken_on", columns="quantity", values="number")
    molar = wide["total_nitrogen"] / wide["total_phosphorus"] * 30.974 / 14.007
    assert (molar < 20).mean() > 0.95
    chlorophyll = median(seasons, "TAR1", "chlorophyll_a", 2009, 2025)
    phosphorus = median(seasons, "TAR1", "total_phosphorus", 2009, 2025)
    assert tsi_of_chlorophyll(chlorophyll) - tsi_of_phosphorus(phosphorus) < -15


def test_story_bad_batch_has_a_high_blank_and_high_phosphorus_alone(
    surface: pd.DataFrame, every_row: pd.DataFrame
) -> None:
    blanks = every_row[
        (every_row["sample_type"] == "field blank") & (every_row["quantity"] == "total_phosphorus")
    ]
    high = blanks[blanks["sign"] == "="]
    assert high["batch"].tolist() == ["D21-06"]
    assert high["number"].iloc[0] == pytest.approx(15, abs=1.5)
    clear = surface[
        surface["station_code"].isin(["HOL1", "SAL1", "ASK1"]) & surface["taken_on"].str[5:7].eq("06")
    ]
    for quantity, low, most in (
        ("total_phosphorus", 2, 5),
        ("total_nitrogen", 0.7, 1.5),
        ("chlorophyll_a", 0.4, 2.2),
    ):
        values = clear[clear["quantity"] == quantity]
        usual = values.groupby("station_code")["number"].median()
        ratio = values[values["year"] == 2021].set_index("station_code")["number"] / usual
        assert ratio.between(low, most).all(), quantity


def test_story_deep_reader_reads_a_quarter_deeper_on_shared_days(surface: pd.DataFrame) -> None:
    secchi = surface[surface["quantity"] == "secchi_depth"]
    pairs = secchi[secchi["observer"].isin(["V04", "V19"])].pivot_table(
        index=["station_code", "taken_on"], columns="observer", values="number"
    )
    shared = pairs.dropna()
    ratio = (shared["V19"] / shared["V04"]).groupby("station_code").median()
    assert set(ratio.index) == {"COL1", "COL2", "COL3"}
    assert ratio.between(1.15, 1.35).all()
    assert shared.index.get_level_values("taken_on").nunique() >= 10
    alone = pairs[pairs["V04"].isna()]
    assert len(alone) >= 9
    assert secchi.loc[secchi["observer"] == "V19", "year"].between(2015, 2018).all()


def test_story_short_volume_doubles_one_chlorophyll(surface: pd.DataFrame) -> None:
    chlorophyll = surface[(surface["station_code"] == "VEL1") & (surface["quantity"] == "chlorophyll_a")]
    short = chlorophyll[chlorophyll["volume_filtered_ml"] != "500"]
    assert short["month"].tolist() == ["2019-07"]
    assert short["volume_filtered_ml"].tolist() == ["250"]
    assert "topped up" in short["remark"].iloc[0]
    july = chlorophyll[chlorophyll["taken_on"].str[5:7].eq("07")]["number"]
    assert short["number"].iloc[0] > 2 * july.median()
    assert short["number"].iloc[0] == july.max()


def test_story_feet_sheet_is_two_to_three_times_the_usual(surface: pd.DataFrame) -> None:
    secchi = surface[surface["station_code"].str.startswith("ASK") & (surface["quantity"] == "secchi_depth")]
    sheet = secchi[secchi["month"] == "2018-07"].set_index("station_code")
    usual = secchi[secchi["taken_on"].str[5:7].eq("07")].groupby("station_code")["number"].median()
    assert set(sheet.index) == {"ASK1", "ASK2", "ASK3"}
    assert (sheet["unit"] == "m").all()
    assert (sheet["number"] / usual[sheet.index]).between(1.9, 4.5).all()


def test_story_flood_week_is_seen_in_every_water(surface: pd.DataFrame, every_row: pd.DataFrame) -> None:
    flood = every_row[every_row["weather"] == "flood"]
    assert set(flood["station_code"].str[:3]) == set(every_row["station_code"].str[:3])
    assert flood["taken_on"].between("2013-07-08", "2013-07-13").all()
    july = surface[surface["taken_on"].str[5:7].eq("07") & (surface["quantity"] == "total_phosphorus")]
    usual = july[july["year"].isin([2011, 2012, 2014, 2015])].groupby("station_code")["number"].median()
    now = july[july["year"] == 2013].set_index("station_code")["number"]
    ratio = (now / usual).drop(["TES1"])  # treated between
    assert ratio.min() > 1.3
    assert ratio.median() == pytest.approx(1.9 * math.exp(0.09 * 1.3), abs=0.4)  # 2013 was wet besides


def test_story_detection_limit_changes_in_2012(every_row: pd.DataFrame) -> None:
    phosphorus = every_row[
        (every_row["quantity"] == "total_phosphorus") & (every_row["detection_limit"] != "")
    ]
    early = phosphorus["year"] < 2012
    assert set(phosphorus.loc[early, "detection_limit"]) == {"6"}
    assert set(phosphorus.loc[~early, "detection_limit"]) == {"2"}
    clear = phosphorus[(phosphorus["station_code"] == "HOL1") & (phosphorus["sample_type"] == "routine")]
    below = (clear["sign"] == "<").groupby(clear["year"] < 2012).mean()
    assert below[True] > 0.25
    assert below[False] == 0


def test_story_laboratory_changes_nitrogen_at_every_water(
    every_row: pd.DataFrame, seasons: pd.Series
) -> None:
    nitrogen = every_row[every_row["quantity"] == "total_nitrogen"]
    early = nitrogen["year"] < 2016
    assert set(nitrogen.loc[early, "method"]) == {"Kjeldahl and nitrate (Ostrel)"}
    assert set(nitrogen.loc[~early, "method"]) == {"persulfate (Quenlow)"}
    still = ["HOL1", "VEL1", "DUN3", "UMB1", "COL1", "ASK1", "SAL1", "TAR1", "GRE1", "SED1"]
    steps = [
        median(seasons, station, "total_nitrogen", 2016, 2025)
        / median(seasons, station, "total_nitrogen", 2006, 2015)
        for station in still
    ]
    assert min(steps) > 1.02
    assert float(np.median(steps)) == pytest.approx(1.15, abs=0.06)


# The edges


def test_edges_no_readings_two_visits_and_a_new_station_are_there(surface: pd.DataFrame) -> None:
    visits = surface.groupby("station_code")["taken_on"].nunique()
    assert "DUN5" not in visits.index
    assert visits["TES4"] == 2
    assert set(surface.loc[surface["station_code"] == "ASK4", "year"]) == {2025}
    assert 2012 not in set(surface.loc[surface["station_code"].str.startswith("COL"), "year"])
    assert "secchi_depth" not in set(surface.loc[surface["station_code"].str.startswith("SED"), "quantity"])


def test_edges_readings_wait_for_an_answer_with_a_remark(every_row: pd.DataFrame) -> None:
    marked = every_row[every_row["status"].isin(["held", "rejected", "accepted with a remark"])]
    assert marked["status"].value_counts().to_dict() == {
        "held": 5,
        "accepted with a remark": 2,
        "rejected": 1,
    }
    assert (marked["remark"] != "").all()
    assert (every_row.loc[every_row["status"] == "preliminary", "taken_on"] >= "2025-09-01").all()


def test_season_sheets_hold_every_slip_that_the_readme_names() -> None:
    rows = re.findall(
        r"^\| (.+?\.csv) \| (\w+), (2025-\d\d) \| (.+?) \| (.+?) \| .+? \| .+? \|$",
        (FOLDER / "README.md").read_text("utf-8"),
        flags=re.MULTILINE,
    )
    assert len(rows) > 30
    sheets = FOLDER / "season_2025_sheets"
    assert {row[0] for row in rows} == {path.name for path in sheets.iterdir()}
    for name, station, month, column, written in rows:
        text = (sheets / name).read_bytes().decode("cp1252" if name.startswith("ponds") else "utf-8-sig")
        cells = re.split(r"[,;\r\n]+", text) if written.count(",") == 0 else [text]
        wanted = written.strip("`")
        if written == "(nothing)":
            continue
        if column == "days late":
            assert "left in the cooler" in text
        else:
            assert any(wanted == cell or ("," in wanted and wanted in cell) for cell in cells), (
                name,
                station,
                month,
            )


def test_season_sheets_say_what_the_record_says(every_row: pd.DataFrame) -> None:
    """Every result of the chlorophyll file, once its container is read, is the record's."""
    report = pd.read_csv(
        FOLDER / "season_2025_sheets" / "chlorophyll_2025_long.csv", dtype=str, keep_default_na=False
    )
    results = report[report["Analyte"].str.startswith("Chlorophyll")]
    record = every_row[(every_row["quantity"] == "chlorophyll_a") & (every_row["year"] == 2025)].set_index(
        "sample_code"
    )
    known = results[results["SampleID"].isin(record.index)]
    assert len(results) - len(known) == 2  # the two slips
    assert (
        known["Result"].to_numpy() == record.loc[known["SampleID"], "value"].str.lstrip("<").to_numpy()
    ).all()
