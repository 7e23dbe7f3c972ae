"""The terminal UI: four places over one book. It decides nothing that the library does not."""
