import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.intake.sample_codes import check_character, read_sample_codes, sample_code

# "0794" → 5 is the example of ISO/IEC 7064 for MOD 11,10 (from memory). The others were computed with the
# general-purpose library python-stdnum 2.2, module stdnum.iso7064.mod_11_10.
PUBLISHED = [("0794", "5"), ("79462", "3"), ("00200667308", "5"), ("25012", "2"), ("25031", "7")]

codes = st.builds(sample_code, st.integers(2000, 2099), st.integers(0, 9999), st.integers(1, 4))


@pytest.mark.parametrize(("digits", "check"), PUBLISHED)
def test_check_character_agrees_with_iso_7064(digits, check):
    assert check_character(digits) == check


@given(codes)
def test_a_code_that_was_made_is_read_again(code):
    found = read_sample_codes([code])
    assert (found.code[0], found.problem[0], found.note[0]) == (code, "", "")


@given(codes, st.integers(0, 5), st.integers(1, 9))
def test_every_single_wrong_digit_is_found(code, place, added):
    wrong = str((int(code[place]) + added) % 10)
    found = read_sample_codes([code[:place] + wrong + code[place + 1 :]])
    assert (found.code[0], found.problem[0]) == ("", "sample_code_check")


def test_nearly_every_pair_of_digits_that_changed_places_is_found():
    made = [sample_code(2025, serial, 1) for serial in range(1000)]
    swaps = [
        code[:place] + code[place + 1] + code[place] + code[place + 2 :]
        for code in made
        for place in range(5)
        if code[place] != code[place + 1]
    ]
    found = read_sample_codes(swaps)
    assert sum(found.problem == "sample_code_check") > 0.97 * len(swaps)


@pytest.mark.parametrize("written", ["250946 2", "250946/2", "250946_2", "2509462", "250946 - 2"])
def test_another_mark_before_the_container_is_read_and_pointed_out(written):
    found = read_sample_codes([written])
    assert (found.code[0], found.note[0]) == ("250946-2", "sample_code_spelling")


@pytest.mark.parametrize(
    ("written", "near"), [("25O962-1", "250962-1"), ("2S0962", "250962"), ("25O96Z-l", "250962-1")]
)
def test_letters_for_digits_wait_with_the_likely_code(written, near):
    found = read_sample_codes([written])
    assert (found.code[0], found.problem[0], found.near[0]) == ("", "sample_code_letter", near)


@pytest.mark.parametrize(
    "written", ["FER1", "blank", "12", "2509465555", "25096-1", "LCS-1", "٢٥٠٩٦٢", "25O963-1"]
)
def test_what_is_no_code_waits(written):
    found = read_sample_codes([written])
    assert found.code[0] == ""
    assert found.problem[0] in ("sample_code_form", "sample_code_check")


def test_an_empty_cell_is_no_code_and_no_problem():
    found = read_sample_codes(["", "-"])
    assert found.code.tolist() == found.problem.tolist() == ["", ""]


@pytest.mark.parametrize(("serial", "container"), [(10_000, 1), (-1, 1), (3, 10)])
def test_sample_code_beyond_its_digits_is_refused(serial, container):
    with pytest.raises(ValueError, match="A serial number is 0 to 9999"):
        sample_code(2025, serial, container)


def test_a_long_code_is_read_with_its_dash_and_without_a_container() -> None:
    long = sample_code(2025, 1234)
    assert len(long) == 7
    found = read_sample_codes([f"{long}-1", f"{long}1", long])
    assert found.code.tolist() == [f"{long}-1", f"{long}-1", long]


def test_no_long_code_reads_as_a_short_one_with_its_container() -> None:
    made = [sample_code(2025, serial) for serial in range(1000, 10_000)]
    assert read_sample_codes(made).code.tolist() == made
