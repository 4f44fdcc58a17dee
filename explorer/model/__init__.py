"""What a station, a quantity, a reading, a season and a programme are, and the words for them."""
