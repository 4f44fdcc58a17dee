"""The lines of Python in the README do what they say."""

import doctest
from pathlib import Path

README = Path(__file__).parents[1] / "README.md"


def test_lines_of_python_in_the_readme_give_what_stands_there() -> None:
    found = doctest.testfile(str(README), module_relative=False, encoding="utf-8")
    assert found.attempted >= 5
    assert found.failed == 0
