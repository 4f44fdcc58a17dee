"""Readings into indices, season tables, classes and summaries: no files, no screen."""
