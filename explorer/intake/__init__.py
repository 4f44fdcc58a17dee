"""Files into the record, and the summaries that are stored beside it."""
