"""Batch days: stock into stock."""
