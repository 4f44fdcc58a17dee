"""The columns file beside a table: what each column holds, and the answers to what the explorer asked."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields

from explorer.records.written import Answer

__all__ = ["ALSO", "ANSWER_KEYS", "KEYS", "OUTSIDE", "REPEATED", "TEXT_KEYS", "ColumnsFile", "toml_key"]

REPEATED = ("measured", "at least", "at most", "on the bottom", "leave out")
OUTSIDE = ("measured",)


@dataclass(frozen=True, slots=True)
class ColumnsFile:
    """What `<table>.columns.toml` says; every key may be left out.

    Attributes
    ----------
    name : str
        Its own name, empty where there is no such file.
    station, station_name, water : str
        Headings of the columns with a station's code, its name, its water's code.
    one_station : str
        Code of the one station of the whole table.
    station_per_row : str
        Every row is a station of its own: this text and the row's number make its code.
    water_kind : str
        Kind of all the waters in the table.
    date, time : str
        Headings of the columns of dates and times.
    one_date : str
        The date of all rows.
    date_form : str
        One of `DATE_FORMS`.
    year : str
        Calendar year of dates written as day of the year, or the heading of its column.
    dates : mapping of str to str
        Date for each text of the date column.
    longitude, latitude : str
        Headings of the columns of coordinates. [deg, WGS 84]
    bottom_depth, bottom_depth_unit : str
        Heading and unit of the column with the depth of the water.
    left_out : tuple of str
        Headings of columns that are not readings of the programme.
    also : mapping of str to str
        Heading by the name of another entry: observer, method, remark …
    answers : mapping of str to Answer
        By heading, from [column.…], or by quantity, from [quantity.…].

    Examples
    --------
    >>> ColumnsFile(station="site").station
    'site'
    """

    name: str = ""
    station: str = ""
    station_name: str = ""
    water: str = ""
    one_station: str = ""
    station_per_row: str = ""
    water_kind: str = ""
    date: str = ""
    time: str = ""
    one_date: str = ""
    date_form: str = ""
    year: str = ""
    dates: Mapping[str, str] = field(default_factory=dict)
    longitude: str = ""
    latitude: str = ""
    bottom_depth: str = ""
    bottom_depth_unit: str = "m"
    left_out: tuple[str, ...] = ()
    also: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, Answer] = field(default_factory=dict)


TEXT_KEYS = tuple(
    each.name
    for each in fields(ColumnsFile)
    if each.name not in ("name", "dates", "left_out", "also", "answers")
)
_TABLES = ("dates", "also", "column", "quantity")
KEYS = (*TEXT_KEYS, "left_out", *_TABLES)
ALSO = ("depth_m", "depth_unit", "stratum", "qualifier", "status", "sample_code", "sample_type",
        "parent_sample", "method", "batch", "observer", "volume_filtered_ml", "analysed_on", "estimated",
        "weather", "remark")  # fmt: skip
ANSWER_KEYS = tuple(each.name for each in fields(Answer))


def toml_key(text: str) -> str:
    """Return a text as a key of TOML, in quotation marks where it needs them.

    Examples
    --------
    >>> toml_key("secchi"), toml_key("air.temp")
    ('secchi', '"air.temp"')
    """
    if re.fullmatch(r"[A-Za-z0-9_-]+", text):
        return text
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
