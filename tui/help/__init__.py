"""Words of help, one page for each place; the keys come from the table."""
