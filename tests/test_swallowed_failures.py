"""The ears of the test suite: a failure inside a widget's callback, which is only logged, is heard."""

from collections.abc import Callable

import ipywidgets
import pytest


def test_failure_inside_a_callback_is_heard(
    swallowed_failures: Callable[[], list[str]], caplog: pytest.LogCaptureFixture
) -> None:
    button = ipywidgets.Button()
    button.on_click(lambda _: 1 / 0)
    button.click()
    assert len(swallowed_failures()) == 1
    caplog.clear()  # or this test would fail itself


def test_silence_is_heard_as_silence(swallowed_failures: Callable[[], list[str]]) -> None:
    button = ipywidgets.Button()
    button.on_click(lambda _: None)
    button.click()
    assert swallowed_failures() == []
