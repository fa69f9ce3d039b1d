"""The next season: what to put up, what it takes, what to stop making. Opens no file, reads no clock."""
