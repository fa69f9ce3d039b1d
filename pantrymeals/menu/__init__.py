"""The menu of some days: asked, planned, changed."""
