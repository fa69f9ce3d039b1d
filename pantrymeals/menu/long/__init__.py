"""Many days: totals, then days in turn, then neighbourhoods."""
