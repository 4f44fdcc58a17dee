from hypothesis import given
from hypothesis import strategies as st

from explorer.display.address import View, address_of, view_of
from explorer.model.calendar import Period

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
PERIODS = st.none() | st.tuples(st.integers(1000, 9999), st.integers(0, 50)).map(
    lambda ends: Period(ends[0], min(ends[0] + ends[1], 9999))
)


@given(TEXTS, PERIODS, st.sampled_from(["", "m", "ft"]))
def test_view_survives_the_way_through_an_address(station, period, unit):
    view = View(station=station, period=period, length_unit=unit)
    assert view_of("#" + address_of(view)) == view


@given(st.text(max_size=300))
def test_any_address_gives_a_view(address):
    assert isinstance(view_of(address), View)


def test_address_holds_nothing_that_a_page_could_run():
    assert "<" not in address_of(View(station="<script>alert(1)</script>"))
