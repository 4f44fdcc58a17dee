"""The quality report: each of its numbers against those computed from the demo's text files alone."""

import csv
import io
import math
import statistics
from collections import Counter, defaultdict
from dataclasses import replace
from datetime import date
from pathlib import Path

import pypdf
import pytest

from explorer.demo import demo_folder
from explorer.display.paper_files import page_csv, page_pdf
from explorer.display.paper_tables import Amount, Share
from explorer.display.quality_page import build_quality_page, nothing_taken
from explorer.display.record_facts import RecordFacts
from explorer.intake.season_report import last_season, season_report
from explorer.model.quantities import QUANTITIES
from explorer.records.corrections import correct, mark
from explorer.records.opening import open_record

DAY = date(2026, 1, 15)
SEASON_MONTHS = (5, 6, 7, 8, 9)
SAMPLED = ("chlorophyll_a", "total_nitrogen", "total_phosphorus")
MOST_DAYS = {"chlorophyll_a": 24.5}  # all else is a frozen bottle, without a published limit


def written(*years: int) -> list[dict[str, str]]:
    """Return the rows of the demo's readings as they are written, with number, sign and year beside them."""
    rows = []
    for path in sorted((demo_folder() / "readings").glob("*.csv")):
        for row in csv.DictReader(path.open(encoding="utf-8")):
            if int(row["taken_on"][:4]) in years:
                factor = 1000.0 if row["unit"] == "mg/L" and row["quantity"] == "total_nitrogen" else 1.0
                sign = row["value"][0] if row["value"][:1] in "<>" else "="
                bare = row["value"].lstrip("<>")
                row["number"] = float(bare) * factor if bare not in ("", "ND") else math.nan
                row["limit"] = float(row["reporting_limit"]) * factor if row["reporting_limit"] else math.nan
                row["sign"] = sign
                if row["value"] == "ND":  # nothing could be stored: held
                    row["status"] = "held"
                rows.append(row)
    return rows


@pytest.fixture(scope="module")
def record():
    opened = open_record(demo_folder())
    yield opened
    opened.close()


def facts_of(record):
    return RecordFacts(record.title, record.path, record.version(), record.settings_hash)


@pytest.fixture(scope="module", params=[2021, 2025])
def made(request, record):
    """The page of a season, and the season's rows as written."""
    report = season_report(record, request.param)
    return build_quality_page(report, facts_of(record), made_on=DAY), written(request.param), request.param


def table(page, title):
    return next(each for each in page.tables if each.title == title)


def cells(page, title, unit=False):
    """Return the rows of a table by their first cell, numbers as numbers."""
    found = table(page, title)
    heads = [column.title for column in found.columns]
    rows = {}
    for row in found.rows:
        plain = [cell.value if isinstance(cell, Amount) else cell for cell in row]
        rows[str(row[0]).split(",")[0]] = dict(zip(heads, plain, strict=True))
    return rows


def name(code):
    return QUANTITIES[code].name


def usual(year):
    """Return station → quantities as the report takes them for planned."""
    rows = [r for r in written(year - 1, year) if (r["sample_type"], r["stratum"]) == ("routine", "surface")]
    days, measured = defaultdict(set), defaultdict(set)
    for row in rows:
        days[row["station_code"]].add(row["taken_on"])
        measured[row["station_code"], row["quantity"]].add(row["taken_on"])
    plan = defaultdict(list)
    for (station, quantity), on in measured.items():
        if len(on) >= len(days[station]) / 2:
            plan[station].append(quantity)
    return plan


def counts(row):
    return row["status"] not in ("held", "rejected") and not math.isnan(row["number"])


def test_a_meeting_in_another_language_leaves_the_report_in_the_offices(record) -> None:
    report = season_report(record, 2025)
    abroad = replace(report, programme=replace(report.programme, language="de"))
    assert abroad.programme.office_language == "en"
    home, away = (build_quality_page(each, facts_of(record), made_on=DAY) for each in (report, abroad))
    assert (away.language, page_csv(away)) == ("en", page_csv(home))


def test_visits_against_the_plan_are_those_in_the_files(made) -> None:
    page, rows, year = made
    plan, days = usual(year), defaultdict(set)
    for row in rows:
        if (row["sample_type"], row["stratum"]) == ("routine", "surface"):
            days[row["station_code"], int(row["taken_on"][5:7])].add(row["taken_on"])
    expected = {station: [Share(len(days[station, month]), 1) for month in SEASON_MONTHS] for station in plan}
    found = {str(row[0]): list(row[1:]) for row in table(page, "Visits against the plan").rows}
    assert found == expected
    made_visits = sum(min(1, share.found) for shares in expected.values() for share in shares)
    planned = 5 * len(plan)
    sentence = table(page, "Visits against the plan").sentences[0]
    assert sentence.startswith(
        f"{made_visits} of {planned} planned visits were made ({100 * made_visits / planned:.1f} %)"
    )


def test_results_against_the_plan_are_those_in_the_files(made) -> None:
    page, rows, year = made
    planned, valid = Counter(), Counter()
    there = {
        (r["station_code"], r["quantity"], int(r["taken_on"][5:7]))
        for r in rows
        if (r["sample_type"], r["stratum"]) == ("routine", "surface") and counts(r)
    }
    for station, quantities in usual(year).items():
        for quantity in quantities:
            planned[quantity] += 5
            valid[quantity] += sum((station, quantity, month) in there for month in SEASON_MONTHS)
    found = cells(page, "Results against the plan")
    assert {key: (row["Planned"], row["Valid"]) for key, row in found.items()} == {
        name(code): (planned[code], valid[code]) for code in planned
    }
    for code in planned:
        assert found[name(code)]["%"] == pytest.approx(100 * valid[code] / planned[code])


def test_statuses_are_those_in_the_files(made) -> None:
    page, rows, _ = made
    expected = Counter((r["quantity"], r["status"]) for r in rows if r["sample_type"] == "routine")
    below = Counter(r["quantity"] for r in rows if r["sample_type"] == "routine" and r["sign"] == "<")
    heads = {"preliminary": "Preliminary", "accepted": "Accepted", "accepted with a remark": "With a remark",
             "held": "Held", "rejected": "Rejected"}  # fmt: skip
    found = cells(page, "Readings and what became of them")
    for code in {quantity for quantity, _ in expected}:
        assert {head: found[name(code)][head] for head in heads.values()} == {
            head: expected[code, status] for status, head in heads.items()
        }
        assert found[name(code)]["Below the limit"] == below[code]


def pairs_of(rows):
    """Return quantity → (first, second, reporting limit) of every duplicate and its sample."""
    by_code = {(r["quantity"], r["sample_code"]): r for r in rows if r["sample_type"] == "routine"}
    pairs = defaultdict(list)
    for row in rows:
        if row["sample_type"] == "field duplicate":
            pairs[row["quantity"]].append((by_code[row["quantity"], row["parent_sample"]], row))
    return pairs


def test_duplicates_and_their_precision_are_those_in_the_files(made) -> None:
    page, rows, _ = made
    found = cells(page, "Duplicates")
    assert set(found) == {name(code) for code in SAMPLED}
    for code, pairs in pairs_of(rows).items():
        values = [(a["number"], b["number"]) for a, b in pairs]
        assert all(min(a, b) >= pair[0]["limit"] for (a, b), pair in zip(values, pairs, strict=True))
        percents = [200 * abs(a - b) / (a + b) for a, b in values]
        samples = sum(r["quantity"] == code and r["sample_type"] == "routine" for r in rows)
        row = found[name(code)]
        assert (row["Samples"], row["Pairs"], row["By limit"]) == (samples, len(values), 0)
        assert row["Agree"] == Share(sum(percent <= 25 for percent in percents), len(values))
        assert row["Share, %"] == pytest.approx(100 * len(values) / samples)
        assert row["Middle %"] == pytest.approx(statistics.median(percents))
        assert row["Most %"] == pytest.approx(max(percents))
        assert row["Spread"] == pytest.approx(
            math.sqrt(sum((a - b) ** 2 for a, b in values) / 2 / len(values))
        )
        assert row["Spread, %"] == pytest.approx(math.sqrt(sum(p**2 for p in percents) / 2 / len(percents)))


def test_duplicates_that_lie_apart_are_named(made) -> None:
    page, rows, year = made
    apart = [
        (a["station_code"], a["taken_on"], a["sample_code"], b["sample_code"])
        for pairs in pairs_of(rows).values()
        for a, b in pairs
        if 200 * abs(a["number"] - b["number"]) / (a["number"] + b["number"]) > 25
    ]
    found = [each for each in page.tables if each.title == "Duplicates that lie apart"]
    assert len(apart) == {2021: 1, 2025: 0}[year]
    assert [(row[0], row[1], row[3], row[4]) for each in found for row in each.rows] == apart


def test_blanks_are_those_in_the_files_and_the_bad_batch_is_named(made) -> None:
    page, rows, year = made
    found = cells(page, "Blanks")
    above = []
    for code in SAMPLED:
        blanks = [r for r in rows if r["quantity"] == code and r["sample_type"] == "field blank"]
        high = [r for r in blanks if r["sign"] == "=" and r["number"] >= r["limit"]]
        batch = sum(
            r["quantity"] == code
            and r["sample_type"] == "routine"
            and r["batch"] in {b["batch"] for b in high}
            for r in rows
        )
        row = found[name(code)]
        heads = ("Blanks", "Clear", "Not clear", "No limit", "Readings of the batch")
        assert [row[head] for head in heads] == [len(blanks), len(blanks) - len(high), len(high), 0, batch]
        above += [(r["station_code"], r["taken_on"], r["sample_code"], r["batch"]) for r in high]
    tables = [each for each in page.tables if each.title == "Blanks that are not clear"]
    assert [(row[0], row[1], row[3], row[4]) for each in tables for row in each.rows] == above
    assert [each[3] for each in above] == {2021: ["D21-06"], 2025: []}[year]  # the planted batch


def test_days_to_the_analysis_are_those_in_the_files(made) -> None:
    page, rows, _ = made
    found = cells(page, "Days from sampling to analysis")
    for code in SAMPLED:
        own = [r for r in rows if r["quantity"] == code and r["sample_code"]]
        days = [
            (date.fromisoformat(r["analysed_on"]) - date.fromisoformat(r["taken_on"])).days
            for r in own
            if r["analysed_on"]
        ]
        row = found[name(code)]
        assert (row["Results"], row["With both dates"]) == (len(own), len(days))
        assert (row["Middle, d"], row["Longest, d"]) == (statistics.median(days), max(days))
        limit = MOST_DAYS.get(code)
        assert row["Too late"] == ("" if limit is None else sum(day > limit for day in days))
        assert math.isnan(row["Limit, d"]) if limit is None else row["Limit, d"] == limit


def test_held_and_rejected_are_those_in_the_files_by_reason(made) -> None:
    page, rows, _ = made
    waits = [r for r in rows if r["status"] in ("held", "rejected")]
    found = table(page, "Held and rejected, by reason").rows
    assert sum(int(row[3]) for row in found) == len(waits)
    assert Counter(str(row[2]) for row in found) == Counter(name(r["quantity"]) for r in waits)
    remarks = {r["remark"] for r in waits if r["value"] != "ND"}
    assert remarks <= {str(row[1]) for row in found}
    assert not any("limit_missing" in str(row[1]) for row in found)  # codes are said in words


def test_methods_and_files_are_those_in_the_files(made) -> None:
    page, rows, _ = made
    methods = Counter((name(r["quantity"]), r["method"] or "not stated") for r in rows)
    assert {(row[0], row[1]): row[2] for row in table(page, "Methods and limits").rows} == methods
    files = table(page, "Files that the season's readings came in").rows
    assert sum(int(row[2]) for row in files) == len(rows)
    assert {str(row[0]) for row in files} <= {
        f"readings/{p.name}" for p in (demo_folder() / "readings").iterdir()
    }


def test_pdf_holds_every_cell_and_is_tagged(made) -> None:
    page, _, _ = made
    reader = pypdf.PdfReader(io.BytesIO(page_pdf(page, made_on=DAY)))
    assert 2 <= len(reader.pages) <= 4
    text = "".join(each.extract_text() for each in reader.pages)
    bare = "".join(text.split())
    for each in page.tables:
        heads = [column.title for column in each.columns] if each.rows else []
        for cell in (each.title, *each.sentences, *heads, *(cell for row in each.rows for cell in row)):
            assert "".join(str(cell).split()) in bare
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    kinds = tag_kinds(root["/StructTreeRoot"])
    assert kinds["/H1"] == 1
    assert kinds["/H2"] == len(page.tables)
    assert kinds["/Table"] >= sum(1 for each in page.tables if each.rows)
    assert kinds["/TH"] > 0


def tag_kinds(node) -> Counter:
    """Return how often each kind of tag stands in a PDF's structure."""
    found: Counter = Counter()
    waiting = [node]
    while waiting:
        each = waiting.pop()
        each = each.get_object() if hasattr(each, "get_object") else each
        if isinstance(each, list):
            waiting += each
        elif isinstance(each, dict):
            if "/S" in each:
                found[each["/S"]] += 1
            if "/K" in each:
                waiting.append(each["/K"])
    return found


def test_csv_holds_the_same_numbers(made) -> None:
    page, _, _ = made
    rows = list(csv.DictReader(io.StringIO(page_csv(page).decode("utf-8-sig"))))
    found = {(r["table"], r["row"], r["column"]): r["value"] for r in rows}
    for each in page.tables:
        for number, row in enumerate(each.rows, 1):
            for column, cell in zip(each.columns, row, strict=True):
                value = found[each.title, str(number), column.title]
                if isinstance(cell, Amount):
                    same = (
                        value == "" if math.isnan(cell.value) else float(value) == pytest.approx(cell.value)
                    )
                    assert same
                elif isinstance(cell, Share):
                    planned = found[each.title, str(number), f"{column.title}, planned"]
                    assert (value, planned) == (str(cell.found), str(cell.planned))
                else:
                    assert value == str(cell)


def test_lead_says_period_plan_record_and_software(made) -> None:
    page, _, year = made
    lead = " ".join(page.lead)
    assert f"1 January {year} to 31 December {year}" in lead
    assert "has written down no plan" in lead
    assert "version 1" in lead
    assert "station-explorer" in lead


@pytest.fixture
def own_record(tmp_path, record) -> Path:
    """A copy of the demo's record that may be changed."""
    place = tmp_path / "own.gpkg"
    place.write_bytes(record.path.read_bytes())
    return place


def test_corrections_and_decisions_say_who_when_why_and_what_stood_before(own_record) -> None:
    opened = open_record(own_record)
    held = [r for r in opened.history("COL1").readings.itertuples() if r.status == "held"]
    reading = next(r for r in held if str(r.taken_on)[:4] == "2025")
    correct(opened, reading.reading_id, {"value": 1.1}, who="M. <Oak>", why="=3.5 ft: asked V04")
    other = next(r for r in opened.history("TES1").readings.itertuples() if r.status == "held")
    mark(opened, [other.reading_id], "rejected", who="M. <Oak>", why="two bottles")
    page = build_quality_page(season_report(opened, 2025), facts_of(opened), made_on=DAY)
    rows = table(page, "Corrections and decisions").rows
    assert len(rows) == 2
    by_station = {str(row[2]): [str(cell).replace("\N{NO-BREAK SPACE}", " ") for cell in row] for row in rows}
    row = by_station["COL1"]
    assert row[1] == "M. <Oak>"
    assert row[3:5] == ["Clarity", str(reading.taken_on)[:10]]
    assert row[5] == f"{reading.value:.1f} m, waiting for an answer"
    assert row[6:] == ["1.1 m, accepted with a remark", "=3.5 ft: asked V04"]
    assert by_station["TES1"][6].endswith(", not accepted")
    who = [str(row[1]) for row in table(page, "Who brought the season in and reviewed it").rows]
    assert who == ["not said", "M. <Oak>", "M. <Oak>"]
    text = page_csv(page).decode("utf-8-sig")
    assert "'=3.5 ft" in text
    pdf = pypdf.PdfReader(io.BytesIO(page_pdf(page, made_on=DAY)))
    bare = "".join("".join(each.extract_text() for each in pdf.pages).split())
    assert "M.<Oak>" in bare
    assert "=3.5ft:askedV04" in bare
    opened.close()


def test_season_without_readings_says_so(record) -> None:
    report = season_report(record, 1999)
    assert report.is_empty
    assert "1 January 1999 to 31 December 1999" in nothing_taken(report)
    assert last_season(record) == 2025
