"""The UI in a browser: one page, one process a tablet, and a guard in front of both."""
