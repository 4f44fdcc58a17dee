"""Pages for paper: a template of ours and plain values become a tagged PDF that a screen reader can read."""

import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Literal

import matplotlib
import typst

__all__ = ["STANDARD", "typeset"]

STANDARD: Literal["ua-1"] = (
    "ua-1"  # PDF/UA-1, ISO 14289-1: headings, reading order and pictures' texts are marked
)

_TEMPLATES = Path(__file__).parent / "templates"
_FONTS = Path(matplotlib.get_data_path()) / "fonts" / "ttf"  # the same letters as in the pictures, everywhere


def typeset(template: str, values: Mapping[str, object], *, made_on: date) -> bytes:
    """Return a PDF of a template filled with values.

    The values reach the template as data, never as its source: whatever stands in them is shown as text.

    Parameters
    ----------
    template : str
        Name of a file in `templates/` without its ending. It imports `paper.typ`, which holds the values, and
        takes a picture from its SVG text with `image(bytes(...), format: "svg", alt: ...)`.
    values : mapping of str to object
        What JSON can hold.
    made_on : date
        Day of making; the same template, values and day give the same bytes.

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    FileNotFoundError
        If there is no such template.
    """
    path = _TEMPLATES / f"{template}.typ"
    if not path.is_file():
        raise FileNotFoundError(f"There is no template {path.name} in {_TEMPLATES.name}.")
    pdf = typst.compile(
        str(path),
        root=str(_TEMPLATES),
        sys_inputs={"values": json.dumps({**values, "made_on": made_on.isoformat()}, allow_nan=False)},
        font_paths=[str(_FONTS)],
        ignore_system_fonts=True,
        pdf_standards=[STANDARD],
        timestamp=int((made_on - date(1970, 1, 1)).total_seconds()),
    )
    assert isinstance(pdf, bytes)  # one output, not one a page
    return pdf
