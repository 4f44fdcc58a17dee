import pytest

from explorer.display.explanation import Section
from explorer.model.errors import ExplorerError
from explorer.widgets.fold import Fold, sections_html, terms_html


@pytest.fixture
def counted():
    """Return a fold and the list of its texts so far."""
    made = []

    def make():
        made.append(f"<p>text {len(made) + 1}</p>")
        return made[-1]

    return Fold("How do we know?", make), made


def front_end_sets(fold, expanded):
    """Open or close as the button in the browser does."""
    fold.widget.set_state({"expanded": expanded})


def test_closed_fold_makes_nothing_however_often_it_is_refreshed(counted):
    fold, made = counted
    fold.refresh()
    fold.refresh()
    assert made == []
    assert fold.widget.html == ""


def test_button_opens_and_the_text_is_made_once(counted):
    fold, made = counted
    front_end_sets(fold, True)
    assert fold.expanded
    assert made == ["<p>text 1</p>"]
    assert fold.widget.html == "<p>text 1</p>"


def test_open_fold_is_made_again_at_each_refresh_and_each_opening(counted):
    fold, made = counted
    front_end_sets(fold, True)
    fold.refresh()
    assert fold.widget.html == "<p>text 2</p>"
    front_end_sets(fold, False)
    assert fold.widget.html == ""
    fold.refresh()
    assert len(made) == 2
    fold.expanded = True
    assert fold.widget.html == "<p>text 3</p>"


def test_error_that_the_reader_can_put_right_is_shown_in_the_region():
    def make():
        raise ExplorerError("The file has gone <away>. Open it again.")

    fold = Fold("How do we know?", make)
    front_end_sets(fold, True)
    assert fold.widget.html == "<p>The file has gone &lt;away&gt;. Open it again.</p>"


def test_other_error_is_not_swallowed():
    fold = Fold("How do we know?", lambda: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        fold.expanded = True


@pytest.mark.parametrize("text", ["<script>alert(1)</script>", '" onclick="x', "&amp;<img src=x onerror=y>"])
def test_text_from_a_file_never_becomes_markup(text):
    for html in (sections_html([Section(text, (text,))]), terms_html([(text, text)])):
        tags = html.replace("<h3>", "").replace("</h3>", "").replace("<p>", "").replace("</p>", "")
        for tag in ("dl", "dt", "dd"):
            tags = tags.replace(f"<{tag}>", "").replace(f"</{tag}>", "")
        assert "<" not in tags
        assert '"' not in tags


def test_nothing_to_explain_is_nothing():
    assert sections_html([]) == terms_html([]) == ""
