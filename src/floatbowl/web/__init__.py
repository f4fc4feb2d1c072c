"""The second door: pages for the phone and the old laptop (empty until they are built)."""
