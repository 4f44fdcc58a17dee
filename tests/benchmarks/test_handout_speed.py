"""How long the hand-outs of a whole record take, beside a bare page in the same run.

Run with `pytest -m benchmark -s tests/benchmarks/test_handout_speed.py`.
"""

import time
from collections.abc import Callable
from datetime import date

import pytest

from explorer.default_record import default_record
from explorer.display.handout import HANDOUT_KINDS, handout_file
from explorer.display.meeting import MeetingRecord
from explorer.display.paper_files import page_pdf
from explorer.display.paper_tables import PaperPage

pytestmark = pytest.mark.benchmark

AT_MOST_S = 30.0  # for all lakes of the demo, on two cores
TIMES_A_BARE_PAGE = 60.0  # a lake: two pages, five slides, nine pictures and a page for the browser
BARE = PaperPage("A page", ("A line.",), ())


def test_files_of_all_demo_lakes(
    report: Callable[[str, float, str, float], float],
    timed: Callable[[Callable[[], object], int], float],
) -> None:
    day = date(2026, 1, 15)
    bare_s = timed(lambda: page_pdf(BARE, made_on=day), 5)
    start = time.perf_counter()
    meetings = MeetingRecord(default_record())
    for lake in meetings.lakes():
        meeting = meetings.meeting(lake, day)
        for kind in HANDOUT_KINDS:
            handout_file(meeting, kind)
    whole_s = time.perf_counter() - start
    lake_s = whole_s / len(meetings.lakes())
    ratio = report("hand-out, slides and HTML of a water", lake_s, "a bare page", bare_s)
    assert whole_s < AT_MOST_S
    assert ratio < TIMES_A_BARE_PAGE
