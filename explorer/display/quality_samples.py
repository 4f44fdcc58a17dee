"""The part of a quality report that speaks of samples: duplicates, blanks, days to the analysis."""

from collections.abc import Mapping

import numpy as np
import pandas as pd

from explorer.display.numbers import count_text
from explorer.display.paper_tables import Amount, Cell, PaperColumn, PaperTable, Share, each_row
from explorer.intake.season_report import SeasonReport
from explorer.model.quantities import Quantity
from explorer.model.words import say

__all__ = ["sample_tables"]


def sample_tables(report: SeasonReport) -> tuple[PaperTable, ...]:
    """Return the tables of duplicates, of blanks and of holding times; what fails has a table of its own.

    Parameters
    ----------
    report : SeasonReport
        The season's numbers.
    """
    return _Samples(report).tables()


class _Samples:
    def __init__(self, report: SeasonReport) -> None:
        self.quality, self.rules = report.quality, report.programme.quality
        self.plan, self.language = report.programme.plan, report.programme.office_language
        self.quantities: Mapping[str, Quantity] = report.programme.quantities

    def tables(self) -> tuple[PaperTable, ...]:
        """Return all tables that have something to say."""
        apart = self._apart(self.quality.pairs)
        above = self._above(self.quality.blanks)
        late = self._late(self.quality.holding)
        failing = {1: apart, 3: above, 5: late}
        tables = (self._duplicates(), apart, self._blanks(), above, self._holding(), late)
        return tuple(table for place, table in enumerate(tables) if place not in failing or table.rows)

    def _say(self, code: str, **values: object) -> str:
        return say(f"quality.{code}", values, self.language)

    def _columns(self, *codes: str, texts: int = 1) -> tuple[PaperColumn, ...]:
        """Return columns, the first so many of texts and the others of numbers."""
        return tuple(
            PaperColumn(self._say(code), place >= texts, code == "quantity")
            for place, code in enumerate(codes)
        )

    def _of(self, code: str) -> tuple[str, int, str]:
        known = self.quantities.get(code)
        return (known.name, known.decimals, known.unit) if known else (code, 1, "")

    def _result(self, value: float, sign: str, decimals: int) -> Cell:
        amount = Amount(float(value), decimals)
        return amount if sign == "=" else f"{sign} {amount}"

    def _duplicates(self) -> PaperTable:
        rows: list[tuple[Cell, ...]] = []
        for row in each_row(self.quality.precision):
            name, decimals, unit = self._of(row.quantity)
            counts = (int(row.samples), int(row.pairs), Amount(row.share, 1))
            agreeing = (Share(int(row.agreeing), int(row.judged)), int(row.by_limit))
            percents = (Amount(row.median_percent, 1), Amount(row.most_percent, 1))
            spread = (Amount(row.spread, decimals + 1), Amount(row.spread_percent, 1))
            rows.append((f"{name}, {unit}", *counts, *agreeing, *percents, *spread))
        columns = self._columns(
            "quantity", "samples", "pairs", "share", "agreeing", "by_limit", "median_percent", "most_percent",
            "spread", "spread_percent",
        )  # fmt: skip
        if self.quality.pairs.empty:
            sentences = [self._say("duplicates_none")]
        else:
            limit = f"{self.rules.duplicate_limit_percent:g}"
            sentences = [self._say("duplicates_rule", percent=limit), self._say("duplicates_pooled")]
        sentences.append(self._say("duplicates_share", share=f"{self.plan.duplicates_percent:g}"))
        if self.quality.lone_duplicates:
            lone = self.quality.lone_duplicates
            sentences.append(count_text("quality.duplicates_lone", lone, language=self.language))
        return PaperTable(self._say("duplicates"), tuple(sentences), columns, tuple(rows))

    def _apart(self, pairs: pd.DataFrame) -> PaperTable:
        rows: list[tuple[Cell, ...]] = []
        for row in each_row(pairs[(~pairs["agrees"] & (pairs["by"] != "")).to_numpy()]):
            name, decimals, unit = self._of(row.quantity)
            results = (
                self._result(row.first, row.first_sign, decimals),
                self._result(row.second, row.second_sign, decimals),
            )
            place = (row.station_code, str(row.taken_on)[:10], name, row.parent_sample, row.sample_code)
            rows.append((*place, row.batch, *results, unit, Amount(row.percent, 1)))
        place_columns = ("station", "date", "quantity", "sample", "duplicate", "batch")
        columns = self._columns(*place_columns, "result", "second", "unit", "percent", texts=6)
        return PaperTable(self._say("apart"), (), columns, tuple(rows))

    def _blanks(self) -> PaperTable:
        rows: list[tuple[Cell, ...]] = []
        blanks = self.quality.blanks
        for quantity, own in blanks.groupby("quantity", sort=True):
            judged = own["limit"].notna()
            clear = int((judged & ~own["above"]).sum())
            affected = own[own["above"]].drop_duplicates("batch")["batch_readings"].sum()
            numbers = (len(own), clear, int(own["above"].sum()), int((~judged).sum()), int(affected))
            rows.append((self._of(str(quantity))[0], *numbers))
        columns = self._columns("quantity", "blank_count", "clear", "unclear", "not_judged", "batch_readings")
        sentence = self._say(f"blanks_{self.rules.blank_limit}" if rows else "blanks_none")
        return PaperTable(self._say("blanks"), (sentence,), columns, tuple(rows))

    def _above(self, blanks: pd.DataFrame) -> PaperTable:
        rows: list[tuple[Cell, ...]] = []
        for row in each_row(blanks[blanks["above"].to_numpy()]):
            name, decimals, unit = self._of(row.quantity)
            place = (row.station_code, str(row.taken_on)[:10], name, row.sample_code, row.batch)
            result = self._result(row.value, row.sign, decimals)
            rows.append((*place, result, Amount(row.limit, decimals), unit, int(row.batch_readings)))
        columns = self._columns("station", "date", "quantity", "sample", "batch", "result", "limit", "unit",
                                "batch_readings", texts=5)  # fmt: skip
        return PaperTable(self._say("blanks_above"), (), columns, tuple(rows))

    def _holding(self) -> PaperTable:
        rows: list[tuple[Cell, ...]] = []
        for quantity, own in self.quality.holding.groupby("quantity", sort=True):
            days = own["days"].dropna().to_numpy(np.float64)
            limit = float(own["limit_days"].iloc[0])
            late: Cell = "" if np.isnan(limit) else int(own["too_long"].sum())
            middle = float(np.median(days)) if len(days) else np.nan
            most = float(days.max()) if len(days) else np.nan
            spans = (Amount(middle), Amount(most), Amount(limit, 1))
            rows.append((self._of(str(quantity))[0], len(own), len(days), *spans, late))
        columns = self._columns(
            "quantity", "results_count", "dated", "median_days", "most_days", "limit_days", "too_late"
        )
        if not rows:
            return PaperTable(self._say("holding"), (self._say("holding_none"),))
        kept = {name: self._kept(name) for name in ("bottle", "filter")}
        return PaperTable(
            self._say("holding"), (self._say("holding_sentence", **kept),), columns, tuple(rows)
        )

    def _kept(self, container: str) -> str:
        return self._say(f"preserved_{self.rules.preservation(container).replace(' ', '_')}")

    def _late(self, holding: pd.DataFrame) -> PaperTable:
        rows: list[tuple[Cell, ...]] = []
        for row in each_row(holding[holding["too_long"].to_numpy()]):
            days = (str(row.taken_on)[:10], str(row.analysed_on)[:10])
            place = (row.station_code, self._of(row.quantity)[0], row.sample_code, row.batch)
            rows.append((*place, *days, Amount(row.days), Amount(row.limit_days, 1)))
        columns = self._columns("station", "quantity", "sample", "batch", "date", "analysed_on", "days",
                                "limit_days", texts=6)  # fmt: skip
        return PaperTable(self._say("too_long"), (), columns, tuple(rows))
