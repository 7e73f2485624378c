"""Assigned numbers and their names, one file a registry, each with its source and date."""
