"""What is taken home: two pages, slides and one HTML file that say what the screen says, number by number."""

import io
import re
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pypdf
import pypdfium2
import pytest

from explorer.display.handout import HANDOUT_KINDS, handout_file, handout_name
from explorer.display.meeting import Meeting, MeetingRecord
from explorer.display.meeting_drawing import draw_picture
from explorer.display.meeting_values import ClassLadder, MeetingPoint
from explorer.display.meeting_years import shown_trend
from explorer.display.rates import change_text
from explorer.model.errors import UnknownNameError
from explorer.records.opening import open_record

DAY = date(2026, 1, 15)
LOOKED_AT = ("FER", "SAL", "SED")  # a lake that changes, a pond with its disk on the bottom, a stream
HOSTILE = '<script>alert(1)</script> #include "x" =cmd|x *b* $x$ @y'
OBSERVER, REMARK = "Zebulon Quill", "met Zebulon at the dock"


def squeezed(text: str) -> str:
    """Return text without white space: a line of a PDF may break anywhere."""
    return re.sub(r"\s+", "", text)


class Parts(HTMLParser):
    """Collects the text, the tags and the addresses of a page."""

    def __init__(self, content: bytes) -> None:
        super().__init__()
        self.text, self.tags, self.addresses = "", set(), []
        self.feed(content.decode())

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.addresses += [value for name, value in attrs if name in ("src", "href", "srcset", "action")]

    def handle_data(self, data):
        self.text += f" {data}"


def words_of(meeting: Meeting) -> list[str]:
    own = [meeting.title, meeting.subtitle, meeting.thanks, meeting.ask, meeting.facts, *meeting.sources]
    for step in meeting.steps:
        own += [step.title, step.sentence, step.sureness, *step.figures, *step.known, step.caution]
    return own + [text for term in meeting.terms for text in term]


def figures_with_words(reader: pypdf.PdfReader) -> list[str]:
    """Return the words of every picture in the tags of a PDF."""
    found = []

    def walk(node):
        node = node.get_object()
        if isinstance(node, list):
            for each in node:
                walk(each)
        elif isinstance(node, dict):
            if node.get("/S") == "/Figure":
                found.append(str(node.get("/Alt", "")))
            if "/K" in node:
                walk(node["/K"])

    walk(reader.trailer["/Root"]["/StructTreeRoot"])
    return found


@pytest.fixture(scope="module")
def files(demo_meetings) -> dict[str, tuple[Meeting, dict[str, bytes]]]:
    found = {}
    for code in LOOKED_AT:
        meeting = demo_meetings.meeting(demo_meetings.find(code), DAY)
        found[code] = meeting, {kind: handout_file(meeting, kind)[1] for kind in HANDOUT_KINDS}
    return found


def check_files(meeting: Meeting, made: dict[str, bytes]) -> None:
    """Hold the files of a meeting against its values."""
    handout, slides = (pypdf.PdfReader(io.BytesIO(made[kind])) for kind in ("handout", "slides"))
    pages = [squeezed(page.extract_text()) for page in handout.pages]
    assert len(pages) == 2
    caution = squeezed(meeting.steps[0].caution)
    assert all(caution in page for page in pages)
    whole = "".join(pages)
    assert [text for text in words_of(meeting) if squeezed(text) not in whole] == []
    shown = [squeezed(page.extract_text()) for page in slides.pages]
    for page, step in zip(shown, meeting.steps, strict=True):
        for text in (
            meeting.lake.name,
            step.title,
            step.sentence,
            step.sureness,
            step.figures[0],
            step.caution,
        ):
            assert squeezed(text) in page
    parts = Parts(made["html"])
    assert [text for text in words_of(meeting) if squeezed(text) not in squeezed(parts.text)] == []
    assert squeezed(parts.text).count(caution) == len(meeting.steps)
    assert not parts.tags & {"script", "link", "iframe", "object", "embed", "img", "form"}
    assert parts.addresses == []
    alts = [step.picture.alt for step in meeting.steps if step.picture]
    for reader in (handout, slides):
        root = reader.trailer["/Root"]
        assert root["/MarkInfo"]["/Marked"]
        assert root["/Lang"] == meeting.language
        assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data()
        assert reader.metadata.title == meeting.title
        assert figures_with_words(reader) == alts


@pytest.mark.parametrize("code", LOOKED_AT)
def test_files_say_what_the_steps_say_and_are_tagged(files, code):
    check_files(*files[code])


@pytest.mark.long
def test_files_of_every_demo_lake_say_what_the_steps_say(demo_meetings):
    for lake in demo_meetings.lakes():
        meeting = demo_meetings.meeting(lake, DAY)
        check_files(meeting, {kind: handout_file(meeting, kind)[1] for kind in HANDOUT_KINDS})


def test_numbers_on_paper_are_those_of_the_summary(demo_meetings, files):
    for code, (_, made) in files.items():
        reader = pypdf.PdfReader(io.BytesIO(made["handout"]))
        whole = squeezed("".join(page.extract_text() for page in reader.pages))
        basis = demo_meetings.basis(demo_meetings.find(code))
        rows = basis.seasons.query("window == 'season' and year == 2025").set_index("quantity")
        for quantity, name, decimals in (
            ("total_phosphorus", "Phosphorus", 0),
            ("chlorophyll_a", "Algae", 1),
        ):
            value, visits = rows.loc[quantity, "median"], rows.loc[quantity, "visits"]
            line = f"{name}: middle value {value:.{decimals}f} µg/L, from {visits} visits."
            assert squeezed(line) in whole
        found = shown_trend(basis)
        if found.found:
            slope = abs(found.trend.slope_per_year)
            assert squeezed(f"by about {change_text(slope, basis.quantity(found.quantity), 'm')}") in whole
            assert f"since{found.first_year}" in whole


def test_pictures_are_drawn_on_paper(files):
    _, made = files["FER"]
    document = pypdfium2.PdfDocument(made["handout"])
    try:
        pixels = [document[number].render(scale=1).to_numpy() for number in range(len(document))]
    finally:
        document.close()
    blue = sum(
        int(((page[..., 0] > page[..., 2]) | (page[..., 2] > page[..., 0] + 60)).sum()) for page in pixels
    )
    assert blue > 1500  # the cells of the best classes


def test_every_point_of_a_picture_stands_within_it_and_can_be_found(files):
    for meeting, _ in files.values():
        for step in meeting.steps:
            if step.picture is None:
                continue
            svg = draw_picture(step.picture)
            height = float(re.search(r'viewBox="0 0 992 ([\d.]+)"', svg)[1])
            assert height <= 260
            assert re.findall(r'data-point="(\d+)"', svg) == [str(n) for n in range(len(step.picture.points))]
            for x, y, size in re.findall(r'<circle cx="([-\d.]+)" cy="([-\d.]+)" r="([\d.]+)"', svg):
                if float(size) < 30:
                    assert 0 <= float(x) - float(size) <= float(x) + float(size) <= 992
                    assert 0 <= float(y) - float(size) <= float(y) + float(size) <= height


@pytest.fixture(scope="module")
def hostile(tmp_path_factory) -> Meeting:
    """The meeting of a pond whose every name is an attack."""
    folder: Path = tmp_path_factory.mktemp("hostile")
    quoted = HOSTILE.replace('"', '""')
    (folder / "programme.toml").write_text(f"name = '{HOSTILE} programme'\ncontact = '{HOSTILE} office'\n")
    (folder / "lakes.csv").write_text(f'code,name,kind\nHX,"{quoted} pond",pond\n')
    (folder / "stations.csv").write_text(f'code,name,lake_code,is_index\nHX1,"{quoted} middle",HX,true\n')
    rows = [
        f'HX1,{year}-{month:02d}-10,{quantity},{value},{unit},"{quoted}","{OBSERVER}","{REMARK}",{status}'
        for year in range(2019, 2025)
        for month in range(5, 10)
        for quantity, value, unit in (("secchi_depth", 2 + month / 10, "m"), ("chlorophyll_a", month, "µg/L"))
        for status in ("accepted",)
    ]
    head = "station_code,taken_on,quantity,value,unit,method,observer,remark,status"
    (folder / "readings.csv").write_text("\n".join([head, *rows]))
    lakes = MeetingRecord(open_record(folder))
    return lakes.meeting(lakes.find("hx"), DAY)


def test_hostile_names_stay_text_on_paper_and_page(hostile):
    made = {kind: handout_file(hostile, kind) for kind in HANDOUT_KINDS}
    assert {re.sub(r"[\w.]", "", name) for name, _ in made.values()} == {""}
    for kind in ("handout", "slides"):
        reader = pypdf.PdfReader(io.BytesIO(made[kind][1]))
        whole = squeezed("".join(page.extract_text() for page in reader.pages))
        assert squeezed(f"{HOSTILE} pond") in whole
        assert OBSERVER.split()[0] not in whole
    page = made["html"][1]
    assert b"<script" not in page
    assert squeezed(f"{HOSTILE} office") in squeezed(Parts(page).text)
    assert OBSERVER.split()[0].encode() not in page
    assert hostile.steps[0].figures[0] == "5 visits by 1 volunteer in 2024."


def test_word_longer_than_a_line_stays_on_its_page(hostile):
    name = "Donaudampfschifffahrtsgesellschaftskapitaensmuetzensee"
    for kind in ("handout", "slides"):
        content = handout_file(replace(hostile, title=name, lake=replace(hostile.lake, name=name)), kind)[1]
        page = pypdfium2.PdfDocument(content)[0]
        letters = page.get_textpage()
        width = page.get_width()
        ends = [letters.get_charbox(number)[2] for number in range(letters.count_chars())]
        assert max(ends) < width
        assert name in letters.get_text_range().replace("\u200b", "").replace("\r\n", "")


def test_hostile_words_of_a_class_stay_text_in_its_picture():
    names = (HOSTILE, "two")
    point = MeetingPoint(0.25, 0.5, HOSTILE)
    svg = draw_picture(ClassLadder(HOSTILE, names, ("<", "B"), (0,), (point,), (HOSTILE, "more")))
    parts = Parts(svg.encode())
    assert parts.tags == {"svg", "rect", "text", "path", "g", "circle"}
    assert HOSTILE[:30] in parts.text


def test_name_that_is_no_lake_names_the_nearest(demo_meetings):
    assert demo_meetings.find("  ferrow   TARN ").code == "FER"
    with pytest.raises(UnknownNameError, match=r'No water "Ferow Tarn".*Did you mean "Ferrow Tarn"'):
        demo_meetings.find("Ferow Tarn")


def test_beginning_of_one_lakes_name_is_enough_and_each_name_is_listed_once(demo_meetings):
    names = [lake.name for lake in demo_meetings.lakes()]
    assert demo_meetings.find("askerel").name == demo_meetings.find("ask").name == "Askerel Lake"
    both = [name for name in names if name.startswith("S")]
    assert len(both) > 1
    with pytest.raises(UnknownNameError, match=f"There are {len(both)}: {', '.join(both)}"):
        demo_meetings.find("s")
    with pytest.raises(UnknownNameError, match=f"There are {len(names)}: {', '.join(names[:8])} …"):
        demo_meetings.find("no such water")


def test_names_of_files_are_known_kinds_and_differ_for_lakes_of_one_name(files):
    meeting, _ = files["FER"]
    other = replace(meeting, lake=replace(meeting.lake, code="FE2"))
    assert handout_name(meeting, "slides") == "ferrow_tarn_in_2025_fer_slides.pdf"
    assert handout_name(other, "slides") != handout_name(meeting, "slides")
    with pytest.raises(UnknownNameError):
        handout_file(meeting, "docx")
