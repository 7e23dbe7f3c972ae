"""What we believe and how surely: the league, a hitter, a pitcher, the next pitch."""
