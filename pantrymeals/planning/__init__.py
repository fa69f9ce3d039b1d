"""Decides: menus, pull lists, run-out and next season, from frozen records alone."""
