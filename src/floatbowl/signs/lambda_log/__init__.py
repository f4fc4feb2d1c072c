"""From the rows of a lambda log to one steady lambda a rung and engine speed.

The order of reading: ``samples`` holds the rows, ``look`` finds what must be known
before they are gone through, ``delay`` how late the probe is, ``sort`` which rows
tell and why the others do not, ``bins`` what those that tell come to.
"""
