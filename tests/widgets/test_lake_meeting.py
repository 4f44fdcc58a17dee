"""The meeting on a screen, without a browser: traits, what the page is handed, and what it hands back."""

import pytest

from explorer.default_record import default_record
from explorer.model.errors import UnknownNameError
from explorer.widgets import LakeMeeting


@pytest.fixture(scope="module")
def meeting():
    return LakeMeeting(default_record())


def test_meeting_begins_with_all_waters_and_shows_the_one_that_is_picked(meeting):
    meeting.lake = ""
    assert len(meeting.stage.lakes) == 12
    assert meeting.stage.page == {}
    assert meeting.keep_bar.about == ""
    meeting.stage._told(None, {"pick": "ferrow tarn"}, [])
    assert meeting.lake == "FER"
    page = meeting.stage.page
    assert page["lake"] == "Ferrow Tarn"
    assert [step["sentence"] for step in page["steps"]] == [step.sentence for step in meeting.meeting.steps]
    assert [len(step["points"]) for step in page["steps"]] == [1, 5, 20, 4, 10]
    assert len(page["cards"]) == 8
    assert meeting.map.widget.layout.display == "none"


def test_map_shows_places_only_and_picks_the_water_of_a_station(meeting):
    meeting.lake = ""
    assert set(meeting.map.page.groups.indexes) == {-1}
    assert meeting.map.page.groups.names == ()
    assert meeting.map.widget.layout.display == ""
    layer = meeting.map.stations
    number = meeting.map.page.codes.index("UMB2")
    feature = {"properties": {"number": number}}
    event = {
        "event": "click",
        "feature": feature,
        "properties": feature["properties"],
        "id": "",
        "coordinates": [0, 0],
    }
    layer._handle_custom_msg(event, [])
    assert meeting.lake == "UMB"


def test_unknown_water_is_answered_on_the_screen_with_the_nearest(meeting):
    meeting.stage._told(None, {"pick": "Sallow Pont"}, [])
    assert meeting.lake == ""
    assert 'Did you mean "Sallow Pond"?' in meeting.stage.message
    meeting.pick("SAL")
    assert meeting.stage.message == ""
    with pytest.raises(UnknownNameError, match="Sallow Pond"):
        LakeMeeting(default_record(), lake="Sallow Pont")


def test_traits_and_the_stage_hold_the_same(meeting):
    meeting.pick("SAL")
    meeting.step, meeting.opened, meeting.theme = 2, "card 3", "dark"
    stage = meeting.stage
    assert (stage.step, stage.opened, stage.theme) == (2, "card 3", "dark")
    stage.opened = ""
    assert meeting.opened == ""


@pytest.mark.parametrize(
    ("kind", "start"), [("handout", b"%PDF"), ("slides", b"%PDF"), ("html", b"<!doctype")]
)
def test_papers_are_made_of_the_shown_water(meeting, kind, start):
    meeting.pick("TAR")
    name, content = meeting.keep(kind)
    assert name.startswith("tarrick_pond_in_2025_tar_")
    assert content.startswith(start)


def test_page_names_no_observer(meeting):
    observers = {name for name in default_record().history("FER1").readings["observer"] if name}
    meeting.pick("FER")
    said = str(meeting.stage.page)
    assert [name for name in observers if name in said] == []
