"""Samples of logs made with a known truth."""

import numpy as np

from benchmarks.made_logs import Log
from floatbowl.signs.lambda_log.delay import Stretch
from floatbowl.signs.lambda_log.samples import Samples


def samples(log: Log) -> Samples:
    """Give a made log as the reader would give it."""
    return Samples(time=log.time, lam=log.lam, rpm=log.rpm, throttle=log.throttle)


def stretch(log: Log) -> Stretch:
    """Give a made log as the delay is looked for in it."""
    return Stretch(log.time, log.lam, np.column_stack([log.throttle, np.log(log.rpm)]))
