import ipywidgets
import numpy as np
import pytest

from explorer.widgets.fold import FoldRegion
from explorer.widgets.one_message import OneMessage


@pytest.fixture
def row():
    return ipywidgets.HBox([ipywidgets.HTML("before"), ipywidgets.HTML("before")])


@pytest.fixture
def together(row):
    return OneMessage(row)


@pytest.fixture
def sent(together, row, monkeypatch):
    """What goes out from now on: the widget that speaks, and its message with its buffers."""
    messages = []

    def note(comm, kind, data=None, metadata=None, buffers=None, **rest):
        messages.append((comm.comm_id, data, buffers or []))

    monkeypatch.setattr(type(together.comm), "publish_msg", note)
    return messages


def say(together, heard):
    together._handle_custom_msg({"heard": heard}, [])


def greet(together, sent):
    """Let a page greet and hear the answer."""
    say(together, False)
    assert sent.pop()[1]["content"] == {"answer": True}
    say(together, True)
    assert sent == []


def change(row, words):
    for widget in row.children:
        widget.value = words


def test_changes_leave_in_one_message_when_the_block_ends(together, row, sent):
    greet(together, sent)
    with together.gathered():
        change(row, "after")
        assert sent == []
    (speaker, data, _), *others = sent
    assert others == []
    assert speaker == together.model_id
    assert [(each["model"], each["state"]) for each in data["content"]["updates"]] == [
        (widget.model_id, {"value": "after"}) for widget in row.children
    ]


def test_before_a_page_has_heard_every_widget_speaks_for_itself(together, row, sent):
    say(together, False)
    sent.clear()
    with together.gathered():
        change(row, "after")
    assert [(speaker, data["state"]) for speaker, data, _ in sent] == [
        (widget.model_id, {"value": "after"}) for widget in row.children
    ]


def test_a_page_that_is_loaded_anew_must_hear_first(together, row, sent):
    greet(together, sent)
    say(together, False)
    sent.clear()
    with together.gathered():
        change(row, "after")
    assert len(sent) == len(row.children)


def test_outside_a_block_every_widget_speaks_for_itself(together, row, sent):
    greet(together, sent)
    change(row, "after")
    assert len(sent) == len(row.children)


def test_a_block_in_a_block_sends_with_the_outer_one(together, row, sent):
    greet(together, sent)
    with together.gathered():
        with together.gathered():
            change(row, "inside")
        assert sent == []
        change(row, "after")
    assert len(sent) == 1
    assert len(sent[0][1]["content"]["updates"]) == 4


def test_what_changed_before_a_failure_is_sent(together, row, sent):
    greet(together, sent)

    def fail_halfway():
        with together.gathered():
            row.children[0].value = "after"
            raise RuntimeError("halfway")

    with pytest.raises(RuntimeError, match="halfway"):
        fail_halfway()
    assert [each["state"] for each in sent[0][1]["content"]["updates"]] == [{"value": "after"}]


def test_nothing_is_sent_where_nothing_changed(together, sent):
    greet(together, sent)
    with together.gathered():
        pass
    assert sent == []


def test_state_of_widgets_with_a_script_is_sent_again_once_a_page_hears(sent, monkeypatch):
    region = FoldRegion(title="Depths")
    own = OneMessage(ipywidgets.VBox([region]))
    assert own.scripted == [own.model_id, region.model_id]
    sent.clear()
    say(own, False)
    region.html = "<p>Here.</p>"
    sent.clear()
    say(own, True)
    ((speaker, data, _),) = sent
    assert speaker == own.model_id
    (update,) = data["content"]["updates"]
    assert update["model"] == region.model_id
    assert {"title": "Depths", "expanded": False, "html": "<p>Here.</p>"}.items() <= update["state"].items()
    assert "_esm" not in update["state"]


def test_every_number_of_a_redraw_arrives_in_its_place(explorer, monkeypatch):
    """What a page would put together from the one message is what the marks hold."""
    messages = []
    together = explorer._together
    say(together, True)
    monkeypatch.setattr(together, "send", lambda content, buffers=None: messages.append((content, buffers)))
    explorer.station = explorer.record.station_list()[0].code
    ((content, buffers),) = messages
    left, seen = list(buffers), {}
    for update in content["updates"]:
        for path in update["buffer_paths"]:
            *above, last = path
            inside = update["state"]
            for key in above:
                inside = inside[key]
            inside[last] = left.pop(0)
        seen.setdefault(update["model"], {}).update(update["state"])
    assert left == []
    for panel in explorer.screen.panels:
        drawn = seen[panel._usual.model_id]
        for axis in ("x", "y"):
            sent = np.frombuffer(drawn[axis]["value"], dtype=drawn[axis]["dtype"])
            np.testing.assert_array_equal(sent, getattr(panel._usual, axis))
        assert seen[panel.labels.model_id]["ticks"] == panel.labels.ticks
        sent = {kind: bytes(each) for kind, each in seen[panel.dots.model_id]["strong"].items()}
        assert sent == panel.dots.strong
        assert sent["measured"]
