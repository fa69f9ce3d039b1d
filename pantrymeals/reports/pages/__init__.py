"""Reports as pages."""
