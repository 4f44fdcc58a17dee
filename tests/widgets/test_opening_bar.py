import pytest

from explorer.widgets import opening_bar as module
from explorer.widgets.opening_bar import SHOWN_FROM, opening_bar


@pytest.mark.parametrize(("count", "bars"), [(SHOWN_FROM - 1, 0), (SHOWN_FROM, 1)])
def test_bar_appears_once_for_many_stations_and_not_for_few(monkeypatch, count, bars):
    shown = []
    monkeypatch.setattr(module, "display", shown.append)
    with opening_bar() as progress:
        progress(64, count)
        progress(128, count)
        assert [bar.value for bar in shown] == [128] * bars
    assert [bar.layout.display for bar in shown] == ["none"] * bars


def test_page_that_is_drawn_after_the_opening_still_finds_the_bar(monkeypatch):
    shown = []
    monkeypatch.setattr(module, "display", shown.append)
    with opening_bar() as progress:
        progress(64, SHOWN_FROM)
    assert shown[0].comm is not None


def test_bar_goes_when_the_opening_fails(monkeypatch):
    shown = []
    monkeypatch.setattr(module, "display", shown.append)

    def fail():
        with opening_bar() as progress:
            progress(64, SHOWN_FROM)
            raise OSError

    with pytest.raises(OSError):
        fail()
    assert shown[0].layout.display == "none"
