from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from explorer.intake.concentrations import (
    HIGHEST_ACID_RATIO,
    MOST_TURBIDITY_PER_CM,
    WORKING_RANGE,
    chlorophyll_entries,
)
from explorer.intake.file_rows import LABORATORY_ENTRIES
from explorer.intake.sample_codes import sample_code
from explorer.model.extract_limits import ExtractLimit

PUBLISHED = Path(__file__).parents[1] / "published"
RULES = pd.read_csv(PUBLISHED / "data_quality_rules.csv", dtype=str).set_index("id")
FIRST, SECOND, THIRD = (sample_code(2025, serial, 2) for serial in (12, 13, 14))
HEADING = "Sample,664b,665a,750b,750a,Extract mL,Path cm,mL"


def computed(read, volumes, *lines):
    (table,) = read(*lines).tables
    entries, problems = chlorophyll_entries(table, volumes)
    assert list(entries.columns) == list(LABORATORY_ENTRIES)
    assert all(str(problem) for problem in problems)
    return entries, [problem.code for problem in problems]


def test_absorbances_become_the_published_concentrations_with_the_volume_on_the_sheet(read):
    entries, problems = computed(read, {FIRST: 500.0}, HEADING, f"{FIRST},0.180,0.108,0.002,0.002,10,1,500")
    published = pd.read_csv(PUBLISHED / "chlorophyll.csv", dtype=str).set_index("id")["expected"].astype(str)
    assert entries["quantity"].tolist() == ["chlorophyll_a", "pheophytin_a"]
    assert entries["value"].tolist() == pytest.approx(
        [float(published["CH001"]), float(published["CH002"])], abs=1e-3
    )
    first = entries.iloc[0]
    assert (first["as_written"], first["column"], first["row"]) == (
        "0.180 | 0.108 | 0.002 | 0.002",
        "664b",
        2,
    )
    assert (first["volume_filtered_ml"], first["status"], first["sample_code"]) == (500, "accepted", FIRST)
    assert first["method"] == "acetone, acidified (computed)"
    assert problems == []


def test_the_total_volume_on_the_sheet_counts_not_what_was_poured_first(read):
    half, _ = computed(
        read, {FIRST: 250.0}, "Extract: 10 mL", "Path: 1", "Sample,664b,665a", f"{FIRST},0.178,0.106"
    )
    total, _ = computed(
        read, {FIRST: 500.0}, "Extract: 10 mL", "Path: 1", "Sample,664b,665a", f"{FIRST},0.178,0.106"
    )
    assert (half["value"] / total["value"]).tolist() == pytest.approx([2.0, 2.0])


def test_a_volume_that_is_missing_or_told_otherwise_holds_the_result(read):
    entries, problems = computed(
        read,
        {FIRST: 500.0},
        HEADING,
        f"{FIRST},0.18,0.108,0,0,10,1,1000",
        f"{SECOND},0.18,0.108,0,0,10,1,500",
    )
    assert entries["status"].tolist() == ["held"] * 4
    assert entries["reason"].tolist() == ["volumes_differ"] * 2 + ["sheet_volume_missing"] * 2
    assert entries["value"].isna().all()
    assert problems == ["sheet_volume_missing", "volumes_differ"]


def test_a_volume_that_nobody_says_is_asked_for_by_another_sentence(read):
    entries, problems = computed(read, {}, HEADING, f"{FIRST},0.18,0.108,0,0,10,1,")
    assert entries["reason"].tolist() == ["volume_missing"] * 2
    assert problems == ["volume_missing"]


def test_a_path_in_millimetres_is_ten_times_shorter(read):
    rows = [
        computed(
            read, {FIRST: 500.0}, f"Sample,664b,665a,Extract (mL),{path}", f"{FIRST},0.18,0.108,10,{text}"
        )[0]
        for path, text in (("Path (cm)", "5"), ("Path (mm)", "50"), ("Path", "50 mm"), ("Path", "5 cm"))
    ]
    for each in rows[1:]:
        assert each["value"].tolist() == pytest.approx(rows[0]["value"].tolist())


def test_what_an_extract_s_dilution_does_is_said(read):
    heading = "Sample,664b,665a,Extract (mL),Path (cm),Dilution"
    found = read(heading, f"{FIRST},0.18,0.108,10,1,4", kind="laboratory")
    assert [each.code for each in found.problems] == ["extract_diluted"]
    once, _ = computed(read, {FIRST: 500.0}, heading, f"{FIRST},0.18,0.108,10,1,")
    four, _ = computed(read, {FIRST: 500.0}, heading, f"{FIRST},0.18,0.108,10,1,4")
    assert (four["value"] / once["value"]).tolist() == pytest.approx([4.0, 4.0])


def test_a_volume_by_sample_serves_every_container(read):
    entries, _ = computed(read, {FIRST[:-2]: 500.0}, HEADING, f"{FIRST},0.18,0.108,0,0,10,1,")
    assert entries["status"].tolist() == ["accepted"] * 2


def test_a_negative_pheophytin_stays_and_a_chlorophyll_of_nought_waits(read):
    entries, problems = computed(
        read,
        {FIRST: 300.0, SECOND: 500.0},
        HEADING,
        f"{FIRST},0.420,0.247,0.004,0.005,20,5,300",
        f"{SECOND},0.1,0.1,0,0,10,1,500",
    )
    assert entries["value"].tolist()[:2] == pytest.approx([61.944, -1.6376], abs=1e-3)
    assert entries["reason"].tolist() == ["", "", "not_above_zero", "not_above_zero"]
    assert problems == ["not_above_zero"]


def test_limits_of_a_measurement_agree_with_standard_methods_10200():
    # Both from memory, as the rows say.
    assert RULES.loc["DQ34", "value"].startswith(f"<= {MOST_TURBIDITY_PER_CM} per cm")
    assert RULES.loc["DQ35", "value"] == "-".join(f"{each:.1f}" for each in WORKING_RANGE)
    assert HIGHEST_ACID_RATIO == 1.72


def test_an_acid_ratio_that_cannot_be_holds_and_a_cloudy_extract_is_pointed_out(read):
    entries, problems = computed(
        read,
        {FIRST: 500.0, SECOND: 500.0},
        HEADING,
        f"{FIRST},0.3,0.05,0.02,0,10,1,",
        f"{SECOND},0.05,0.03,0,0,10,1,",
    )
    assert entries["reason"].tolist() == ["acid_ratio_outside"] * 2 + [""] * 2
    assert sorted(problems) == ["absorbance_outside", "acid_ratio_outside", "extract_turbid"]


@pytest.mark.parametrize(
    "row", ["0.18,,0,0,10,1,500", "0.18,0.1,0,0,,1,500", "0.18,0.1,0,0,10,,500", "0.18,x,0,0,10,1,500"]
)
def test_an_extract_that_lacks_something_waits(read, row):
    entries, _ = computed(read, {FIRST: 500.0}, HEADING, f"{FIRST},{row}")
    assert entries["reason"].tolist() == ["extract_incomplete"] * 2


def test_a_diluted_extract_counts_by_its_dilution(read):
    plain, _ = computed(read, {FIRST: 500.0}, f"{HEADING},Dilution", f"{FIRST},0.18,0.108,0,0,10,1,500,1")
    diluted, _ = computed(read, {FIRST: 500.0}, f"{HEADING},Dilution", f"{FIRST},0.18,0.108,0,0,10,1,500,3")
    assert (diluted["value"] / plain["value"]).tolist() == pytest.approx([3, 3])


def test_trichromatic_and_fluorometric_readings_are_other_quantities_or_methods(read):
    tri, _ = computed(
        read, {FIRST: 500.0}, "Sample,664,647,630,750,Extract mL,Path cm", f"{FIRST},0.2,0.08,0.05,0.01,10,1"
    )
    assert tri["quantity"].tolist() == ["chlorophyll_a_uncorrected"]
    assert tri["value"].tolist() == pytest.approx([42.81], abs=1e-3)
    fluor, _ = computed(
        read,
        {FIRST: 500.0},
        "Acid ratio: 2.0",
        "Response: 0.05",
        "Sample,Fb,Fa,Extract mL",
        f"{FIRST},120,70,10",
    )
    assert fluor["value"].tolist() == pytest.approx([0.1, 0.04])
    assert fluor["method"].tolist() == ["acetone, fluorometric, acidified (computed)"] * 2


def test_an_extract_without_a_readable_code_waits(read):
    entries, _ = computed(read, {FIRST: 500.0}, HEADING, f"{THIRD[:4]}9{THIRD[5:]},0.18,0.108,0,0,10,1,500")
    assert entries["reason"].tolist() == ["sample_code_check"] * 2


def test_a_file_without_extracts_computes_nothing(read):
    entries, problems = computed(read, {}, "Sample,TP ug/L", f"{FIRST},7")
    assert entries.empty
    assert problems == []


LIMIT = ExtractLimit("chlorophyll_a", 3.0, 200.0, 20.0, 1.0, "a plan")


def limited(read, volumes, *lines, limits=(LIMIT,)):
    entries, problems = chlorophyll_entries(read(*lines).tables[0], volumes, limits)
    chlorophyll = entries[entries["quantity"] == "chlorophyll_a"]
    columns = ["value", "sign", "detection_limit", "status"]
    return chlorophyll[columns].to_numpy().tolist(), [each.code for each in problems]


def test_the_limit_moves_with_the_volume_filtered_as_published(read):
    published = pd.read_csv(PUBLISHED / "chlorophyll.csv", dtype=str).set_index("id").loc[["CH040", "CH041"]]
    for row in published.to_dict("records"):
        volume = float(row["volume_filtered_mL"])
        line = f"{FIRST},0.180,0.108,0.002,0.002,{row['extract_volume_mL']},{row['path_cm']},{volume}"
        ((_, sign, limit, _),), _ = limited(read, {FIRST: volume}, HEADING, line)
        assert (sign, limit) == ("=", pytest.approx(float(row["expected"])))


def test_what_is_computed_below_its_limit_says_only_so(read):
    faint = f"{FIRST},0.110,0.109,0,0,20,1"  # 26.7 * 0.001 * 20 / 0.5 = 1.07 µg/L, the limit at 500 mL is 1.2
    found, problems = limited(read, {FIRST: 500.0}, HEADING, f"{faint},500")
    assert found == [[pytest.approx(1.2), "<", pytest.approx(1.2), "accepted"]]
    assert problems == ["computed_below_limit"]
    more_water, _ = limited(read, {FIRST: 1000.0}, HEADING, f"{faint},1000")
    assert more_water == [[pytest.approx(0.6), "<", pytest.approx(0.6), "accepted"]]


def test_nothing_in_the_extract_is_below_the_limit_where_one_is_known_and_asked_about_where_none_is(read):
    nothing = f"{FIRST},0.110,0.110,0,0,20,1,500"
    found, problems = limited(read, {FIRST: 500.0}, HEADING, nothing)
    assert (found[0][1], found[0][3], problems) == ("<", "accepted", ["computed_below_limit"])
    found, problems = limited(read, {FIRST: 500.0}, HEADING, nothing, limits=())
    assert (found[0][3], problems) == ("held", ["not_above_zero"])


def test_a_limit_of_the_file_is_that_of_the_volume_which_the_laboratory_was_told(read):
    line = f"{FIRST},0.180,0.108,0.002,0.002,10,1"
    found, _ = limited(read, {FIRST: 502.0}, f"{HEADING},MDL (mg/L)", f"{line},500,0.0005")
    assert found[0][2] == pytest.approx(0.5 * 500 / 502)
    found, _ = limited(
        read, {FIRST: 500.0}, "Sample,664b,665a,Extract mL,Path cm,MDL", f"{FIRST},0.18,0.1,10,1,0.5"
    )
    assert found[0][2] == 0.5


def test_fluorescences_have_a_limit_without_a_path(read):
    heading = "Sample,Fb,Fa,Tau,Response,Extract mL,mL"
    ten = replace(LIMIT, path_length_cm=10.0)
    found, _ = limited(read, {FIRST: 400.0}, heading, f"{FIRST},1200,700,2,0.5,20,400", limits=(ten,))
    assert found[0][2] == pytest.approx(1.5)


def test_a_limit_in_a_unit_of_something_else_waits(read):
    found = read(f"{HEADING},MDL (m)", f"{FIRST},0.180,0.108,0.002,0.002,10,1,500,2")
    assert [each.code for each in found.problems] == ["heading_unit_wrong"]
