import io
from datetime import date
from pathlib import Path

import pypdf
import pytest

from explorer.display import typeset as module
from explorer.display.typeset import typeset

DAY = date(2024, 9, 30)
PAGE = """
#import "paper.typ": *
#show: paper.with(title: values.title)
= #values.title
#values.text
#image(bytes(values.picture), format: "svg", alt: values.alt)
"""
PICTURE = '<svg xmlns="http://www.w3.org/2000/svg" width="10" height="10"><rect width="5" height="5"/></svg>'
HOSTILE = '#include "x" <script>alert(1)</script> =cmd|x *bold* $x$ @label \\u{41} //'


@pytest.fixture
def page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> bytes:
    (tmp_path / "paper.typ").write_bytes((module._TEMPLATES / "paper.typ").read_bytes())
    (tmp_path / "page.typ").write_text(PAGE)
    monkeypatch.setattr(module, "_TEMPLATES", tmp_path)
    values = {"title": "Alder Pond", "text": HOSTILE, "picture": PICTURE, "alt": "A square."}
    pdf = typeset("page", values, made_on=DAY)
    assert typeset("page", values, made_on=DAY) == pdf
    return pdf


def test_typeset_values_stay_text(page: bytes) -> None:
    text = pypdf.PdfReader(io.BytesIO(page)).pages[0].extract_text()
    assert " ".join(text.split()) == f"Alder Pond {HOSTILE}"


def test_typeset_page_is_tagged_and_says_its_standard(page: bytes) -> None:
    reader = pypdf.PdfReader(io.BytesIO(page))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data()
    assert reader.metadata is not None
    assert reader.metadata.title == "Alder Pond"


def test_typeset_without_a_template_of_that_name_raises() -> None:
    with pytest.raises(FileNotFoundError, match=r"no template none\.typ"):
        typeset("none", {}, made_on=DAY)
