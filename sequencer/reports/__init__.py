"""From data to pages: plans and reviews as text, and reviews held against plans."""
