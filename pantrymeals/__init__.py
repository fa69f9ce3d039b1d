"""pantrymeals: menus, run-out and next season's put-up list from a household's own shelves."""

__version__ = "0.1.0"
