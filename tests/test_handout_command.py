"""`station-explorer handout`, and what `meeting` refuses: run as a user runs them, on two ponds."""

import shutil
from pathlib import Path

import pytest

from explorer import command
from explorer.command.terminal import REFUSED, STOPPED, progress_bar
from explorer.demo import demo_folder


@pytest.fixture(scope="module")
def ponds(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder record of two ponds."""
    place = tmp_path_factory.mktemp("ponds")
    (place / "readings").mkdir()
    for name in ("lakes.geojson", "stations.geojson", "programme.toml"):
        shutil.copy(demo_folder() / name, place)
    for name in ("sallow_pond.csv", "tarrick_pond.csv"):
        shutil.copy(demo_folder() / "readings" / name, place / "readings")
    return place


def run(*arguments: object) -> int:
    return command.main(["handout", *map(str, arguments)])


def test_handout_writes_pages_slides_and_a_file_for_the_browser(ponds, tmp_path, capsys):
    for name, more, start in (
        ("a.pdf", (), b"%PDF"),
        ("s.PDF", ("--slides",), b"%PDF"),
        ("a.html", (), b"<!doc"),
    ):
        where = tmp_path / "new" / name
        assert run("--record", ponds, "--lake", "sallow pond", "--out", where, *more) == STOPPED
        assert where.read_bytes().startswith(start)
        assert f"Written: {where}" in capsys.readouterr().out


def test_handout_of_all_writes_three_files_a_water(ponds, tmp_path, capsys):
    assert run("--record", ponds, "--all", "--out", tmp_path / "all", "--season", "2020") == STOPPED
    names = sorted(path.name for path in (tmp_path / "all").iterdir())
    assert len(names) == 3 * 12
    assert "sallow_pond_in_2020_sal_handout.pdf" in names
    out = capsys.readouterr()
    assert "Written: hand-outs and slides of 12 waters" in out.out
    assert out.err == ""  # the bar is for a terminal


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--lake", "Salow Pond", "--out", "a.pdf"), 'Did you mean "Sallow Pond"?'),
        (("--lake", "SAL", "--out", "a.docx"), '"a.docx" does not end in .pdf or .html.'),
        (("--lake", "SAL", "--slides", "--out", "a.html"), "does not end in .pdf."),
        (("--all", "--slides", "--out", "folder"), "leave --slides out"),
        (("--all", "--out", __file__), "is a file. With --all name a folder."),
    ],
)
def test_handout_refuses_with_the_cure(ponds, capsys, arguments, said):
    assert run("--record", ponds, *arguments) == REFUSED
    assert said in capsys.readouterr().err


def test_meeting_refuses_a_lake_or_a_card_before_a_page_opens(ponds, tmp_path, capsys):
    assert command.main(["meeting", "--record", str(ponds), "--lake", "Salow Pond"]) == REFUSED
    assert 'Did you mean "Sallow Pond"?' in capsys.readouterr().err
    own = shutil.copytree(ponds, tmp_path / "own")
    (own / "question_cards.toml").write_text('[[card]]\nquestion = "Why?"\n', encoding="utf-8")
    assert command.main(["meeting", "--record", str(own)]) == REFUSED
    assert 'question_cards.toml, line 1, "card": card 1 has no answer.' in capsys.readouterr().err


def test_progress_bar_draws_one_line_in_a_terminal(capsys, monkeypatch):
    monkeypatch.setattr("sys.stderr.isatty", lambda: True, raising=False)
    show = progress_bar("Hand-outs")
    for done in (1, 2):
        show(done, 2)
    assert capsys.readouterr().err == (
        "\rHand-outs [############............] 1 of 2\rHand-outs [########################] 2 of 2\n"
    )
