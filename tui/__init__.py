"""The terminal UI: its places over one book. It decides nothing that the library does not."""
