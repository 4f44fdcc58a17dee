"""The freezer's list: bottles and filters by the days that they have left."""

from datetime import date
from typing import Any

import numpy as np
import pandas as pd

from explorer.display.numbers import count_text, date_text
from explorer.display.paper_tables import Amount, Cell, PaperColumn, PaperPage, PaperTable, each_row
from explorer.display.quality_review import reason_text
from explorer.model.programme import Programme
from explorer.model.words import say

__all__ = ["build_freezer_page"]


def build_freezer_page(samples: pd.DataFrame, programme: Programme, *, today: date) -> PaperPage:
    """Return the freezer's list.

    Parameters
    ----------
    samples : DataFrame
        Columns of `FROZEN_SAMPLES`.
    programme : Programme
        Its name, language and paper.
    today : date
        Day for which it holds.
    """
    language = programme.office_language
    rows: list[tuple[Cell, ...]] = [_row(row, programme) for row in each_row(samples)]
    codes = ("code", "container", "station", "frozen_on", "days", "left", "note")
    columns = tuple(
        PaperColumn(say(f"freezer.{code}", language=language), code in ("days", "left"), code == "note")
        for code in codes
    )
    judged = samples["limit_days"].notna()
    over = int((samples["days_left"] < 0).sum())
    sentences = [count_text("freezer.count", len(samples), language=language)]
    if over:
        sentences.append(count_text("freezer.over", over, language=language))
    if bool((~judged).any()):
        sentences.append(count_text("freezer.unlimited", int((~judged).sum()), language=language))
    sources = [source for source in samples["source"].unique().tolist() if source]
    sentences += [say("freezer.source", {"source": source}, language) for source in sources]
    day = date_text(np.datetime64(today, "D"), language)
    title = say("freezer.title", {"day": day}, language)
    return PaperPage(
        title=title,
        lead=(f"{programme.name}.",),
        tables=(PaperTable(title, tuple(sentences), columns, tuple(rows)),),
        foot=title,
        paper=programme.label_sheet.page,
        language=language,
    )


def _row(row: Any, programme: Programme) -> tuple[Cell, ...]:
    language = programme.office_language
    note = ""
    if row.reason:
        note = reason_text(row.reason, language)
    elif row.days_left < 0:
        values = {"quantity": programme.quantities[row.quantity].name, "limit": f"{row.limit_days:g}"}
        note = say("freezer.too_late", values, language)
    elif row.quantity:
        values = {"quantity": programme.quantities[row.quantity].name, "limit": f"{row.limit_days:g}"}
        note = say("freezer.limit", values, language)
    code = f"labels.{str(row.container).replace(' ', '_')}"
    container = say(code, language=language)
    frozen = "" if pd.isna(row.frozen_on) else str(row.frozen_on)[:10]
    return (
        row.sample_code,
        container,
        row.station_code,
        frozen,
        Amount(row.days),
        Amount(row.days_left, 1),
        note,
    )
