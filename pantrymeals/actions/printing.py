"""Where reports are written to files: whole or not at all, and never over the household's own."""

from __future__ import annotations

from pantrymeals.on_disk import refuse_what_is_not_ours, write_safely

__all__ = ["refuse_what_is_not_ours", "write_safely"]
