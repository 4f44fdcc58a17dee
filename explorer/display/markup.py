"""Text into HTML: the one place where a name becomes markup, so that text from files is never run."""

from html import escape

__all__ = ["element", "escaped"]


def escaped(text: object) -> str:
    """Return text as HTML that shows exactly that text.

    Parameters
    ----------
    text : object
        Anything; its text is shown.

    Examples
    --------
    >>> escaped("<b>Pond</b>")
    '&lt;b&gt;Pond&lt;/b&gt;'
    """
    return escape(str(text), quote=True)


def element(name: str, text: object, css_class: str = "") -> str:
    """Return an element that holds text.

    Parameters
    ----------
    name : str
        Tag.
    text : object
        Its text, escaped here.
    css_class : str
        Its classes, empty for none.

    Examples
    --------
    >>> element("p", "5 < 6")
    '<p>5 &lt; 6</p>'
    """
    attribute = f' class="{escaped(css_class)}"' if css_class else ""
    return f"<{name}{attribute}>{escaped(text)}</{name}>"
