"""Names of quantities."""

import pytest

from explorer.model.quantities import Quantity, name_in_sentence


@pytest.mark.parametrize(
    ("name", "inside"),
    [
        ("Clarity in the tube", "clarity in the tube"),
        ("pH", "pH"),
        ("DOC", "DOC"),
        ("E. coli", "E. coli"),
        ("", ""),
    ],
)
def test_name_of_a_quantity_inside_a_sentence_keeps_its_own_capitals(name, inside):
    assert name_in_sentence(Quantity("own", name, "m", 1, None, (0.0, 1.0), False)) == inside
