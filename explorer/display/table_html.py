"""A table of the pages for paper on a screen: the same value, as markup whose texts are escaped."""

from explorer.display.markup import element, escaped
from explorer.display.numbers import count_text
from explorer.display.paper_tables import PaperTable

__all__ = ["table_html"]

MOST_ROWS = 200


def table_html(table: PaperTable, language: str = "en", most: int = MOST_ROWS) -> str:
    """Return a table as HTML: its title as caption, its sentences above it.

    Parameters
    ----------
    table : PaperTable
        The table.
    language : str
        Language of the words.
    most : int
        Rows that are shown at most; a sentence says how many more there are.

    Examples
    --------
    >>> from explorer.display.paper_tables import PaperColumn
    >>> table_html(PaperTable("Files", (), (PaperColumn("name"),), (("<a>.csv",),))).count("&lt;a&gt;.csv")
    1
    """
    said = "".join(element("p", sentence) for sentence in table.sentences)
    if not table.rows:
        return said
    heads = "".join(
        f'<th scope="col"{_side(each.is_number)}>{escaped(each.title)}</th>' for each in table.columns
    )
    rows = "".join(_row(table, row) for row in table.rows[:most])
    rest = count_text("desk.rows_more", max(0, len(table.rows) - most), language=language)
    return (
        f'{said}<table class="plain-table">{element("caption", table.title)}<thead><tr>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table>" + (element("p", rest) if rest else "")
    )


def _row(table: PaperTable, row: tuple[object, ...]) -> str:
    cells = zip(table.columns, row, strict=True)
    return (
        "<tr>" + "".join(f"<td{_side(each.is_number)}>{escaped(cell)}</td>" for each, cell in cells) + "</tr>"
    )


def _side(is_number: bool) -> str:
    return ' class="number-cell"' if is_number else ""
