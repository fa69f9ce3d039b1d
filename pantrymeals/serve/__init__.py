"""The page for a phone in the aisle, served from the kitchen laptop: the same actions, with thumbs."""
