"""Pictures: the cut-away, the ladder, the twenty, the parts; one SVG for the page, the command and paper."""
