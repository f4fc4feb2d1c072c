"""The second door: pages for the phone and the old laptop, served on this machine."""
