"""Bottle label, filter label and data sheet of one invented sample, and what does not correspond on them."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from explorer.intake.depths import read_depths
from explorer.intake.sample_codes import read_sample_codes, sample_code
from explorer.intake.volumes import read_volumes

__all__ = ["PLACES", "Misfit", "draw_papers", "find_misfits"]

# What stands where: paper and line, in the order in which they are read.
PLACES = (
    "bottle.code", "bottle.station", "bottle.date", "bottle.time",
    "filter.code", "filter.station", "filter.date", "filter.volume",
    "sheet.station", "sheet.date", "sheet.time", "sheet.disk", "sheet.bottle", "sheet.filter", "sheet.volume",
    "sheet.observer",
)  # fmt: skip
CODE_PLACES = (("bottle.code", "sheet.bottle", "1"), ("filter.code", "sheet.filter", "2"))
STATIONS = ("PRA1", "PRA2", "PRA3")  # of the invented lake of the practice
MOST_PLANTED = 3


@dataclass(frozen=True, slots=True)
class Misfit:
    """One thing that does not correspond or is missing.

    Attributes
    ----------
    code : str
        What it is; its sentence is `practice_labelling.<code>`.
    places : tuple of str
        Where it can be seen, of `PLACES`.
    values : mapping of str to str
        What stands there.
    """

    code: str
    places: tuple[str, ...]
    values: Mapping[str, str]


def find_misfits(papers: Mapping[str, str]) -> tuple[Misfit, ...]:
    """Return what does not correspond on the papers of one sample.

    Codes, volumes and depths are read as the check-in of data sheets reads them.

    Parameters
    ----------
    papers : mapping of str to str
        What is written at each of `PLACES`.

    Examples
    --------
    >>> papers = dict(draw_papers(1))
    >>> papers["sheet.observer"] = ""
    >>> "observer_missing" in [misfit.code for misfit in find_misfits(papers)]
    True
    """
    found = [*_code_misfits(papers), *_same_everywhere(papers), *_volume_misfits(papers)]
    found += [
        _misfit(papers, "time_missing", place) for place in ("bottle.time", "sheet.time") if not papers[place]
    ]
    if papers["bottle.time"] and papers["sheet.time"] and papers["bottle.time"] != papers["sheet.time"]:
        found.append(_misfit(papers, "time_differs", "bottle.time", "sheet.time"))
    if read_depths([papers["sheet.disk"]], "").problem[0]:
        found.append(_misfit(papers, "unit_missing", "sheet.disk"))
    if not papers["sheet.observer"]:
        found.append(_misfit(papers, "observer_missing", "sheet.observer"))
    return tuple(found)


def _misfit(papers: Mapping[str, str], code: str, *places: str) -> Misfit:
    values = {place.replace(".", "_"): papers[place] or "–" for place in PLACES}
    return Misfit(code, places, values)


def _code_misfits(papers: Mapping[str, str]) -> list[Misfit]:
    found = []
    for label, line, container in CODE_PLACES:
        read = read_sample_codes([papers[label], papers[line]])
        kind = label.partition(".")[0]
        if not all(read.sample):
            found.append(_misfit(papers, f"{kind}_code_check", label, line))
        elif read.code[0] != read.code[1]:
            found.append(_misfit(papers, f"{kind}_codes_differ", label, line))
        elif read.container[0] != container:
            found.append(_misfit(papers, f"{kind}_container", label, line))
    if not found:
        places = [place for label, line, _ in CODE_PLACES for place in (label, line)]
        samples = read_sample_codes([papers[place] for place in places]).sample
        if len(set(samples)) > 1:
            found.append(_misfit(papers, "other_sample", *places))
    return found


def _same_everywhere(papers: Mapping[str, str]) -> list[Misfit]:
    found = []
    for line in ("station", "date"):
        places = tuple(f"{paper}.{line}" for paper in ("bottle", "filter", "sheet"))
        if len({papers[place] for place in places}) > 1:
            found.append(_misfit(papers, f"{line}_differs", *places))
    return found


def _volume_misfits(papers: Mapping[str, str]) -> list[Misfit]:
    places = ("filter.volume", "sheet.volume")
    read = read_volumes([papers[place] for place in places])
    missing = [
        place
        for place, problem, parts in zip(places, read.problem, read.parts, strict=True)
        if problem or not parts
    ]
    if missing:
        return [_misfit(papers, "volume_missing", *missing)]
    return [_misfit(papers, "volume_differs", *places)] if read.total_ml[0] != read.total_ml[1] else []


def draw_papers(seed: int) -> Mapping[str, str]:
    """Return the papers of a seed, with none to three things on them that do not correspond.

    Parameters
    ----------
    seed : int
        Any whole number.

    Examples
    --------
    >>> len(draw_papers(1)) == len(PLACES)
    True
    """
    draw = Random(f"papers {seed}")
    day = date(2025, draw.randint(5, 9), draw.randint(1, 28))
    serial, station = draw.randint(10, 880), draw.choice(STATIONS)
    bottle, filtered = (sample_code(day.year, serial, container) for container in (1, 2))
    time = f"{draw.randint(10, 15):02d}:{draw.randint(0, 11) * 5:02d}"
    volume = f"{draw.choice((250, 500, 750))} mL"
    papers = {
        "bottle.code": bottle, "bottle.station": station, "bottle.date": day.isoformat(), "bottle.time": time,
        "filter.code": filtered, "filter.station": station, "filter.date": day.isoformat(),
        "filter.volume": volume, "sheet.station": station, "sheet.date": day.isoformat(), "sheet.time": time,
        "sheet.disk": f"{draw.uniform(1.5, 5.0):.2f} m", "sheet.bottle": bottle, "sheet.filter": filtered,
        "sheet.volume": volume, "sheet.observer": f"V{draw.randint(1, 30):02d}",
    }  # fmt: skip
    other = [sample_code(day.year, serial + draw.randint(1, 60), container) for container in (1, 2)]
    code = draw.choice((
        {"bottle.code": _swapped(bottle)},
        {"sheet.filter": _swapped(filtered)},
        {"sheet.bottle": other[0]},
        {"filter.code": other[1]},
        dict.fromkeys(("filter.code", "sheet.filter"), other[1]),
        dict.fromkeys(("filter.code", "sheet.filter"), filtered[:-1] + "1"),
        dict.fromkeys(("bottle.code", "sheet.bottle"), bottle[:-1] + "2"),
    ))  # fmt: skip
    half = f"{int(volume.split()[0]) // 2} mL"
    slips: list[dict[str, str]] = [
        code,
        draw.choice(({"filter.volume": half}, {"sheet.volume": ""})),
        {"filter.date": (day + timedelta(1)).isoformat()},
        {"bottle.station": draw.choice([each for each in STATIONS if each != station])},
        draw.choice(({"bottle.time": ""}, {"sheet.time": f"{time[:-1]}{'2' if time[-1] != '2' else '3'}"})),
        {"sheet.disk": papers["sheet.disk"].removesuffix(" m")},
        {"sheet.observer": ""},
    ]
    for slip in draw.sample(slips, draw.randint(0, MOST_PLANTED)):
        papers.update(slip)
    return papers


def _swapped(code: str) -> str:
    """Return a code with two neighbouring digits changed round, so that its check character does not fit."""
    swaps = (code[:at] + code[at + 1] + code[at] + code[at + 2 :] for at in range(5))
    return next(each for each in swaps if read_sample_codes([each]).problem[0])
