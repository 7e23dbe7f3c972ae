"""Facts true whoever plays: words, count, situation, zone, run values, levels and rule sets."""
