"""One function for each thing that people do."""
