"""The pages: one module for each group, each with its ``routes``; none knows of another."""
