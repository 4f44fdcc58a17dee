"""What a screen or a hand-out shows, as plain values: no widget."""
