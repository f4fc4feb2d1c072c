"""The press: cards and charts as PDF, set from our own templates and our own type."""
