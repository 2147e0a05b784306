"""The two Celery tasks of the house: run one row, and the clock's tick."""

import logging

from bakery.celery import app

from . import signals
from .running import run


@app.task(name="background.run_computation")
def run_computation(pk: int) -> str:
    return run(pk)


@app.task(name="background.tick")
def tick() -> None:
    for receiver, answer in signals.tick.send_robust(sender=None):
        if isinstance(answer, Exception):
            logging.getLogger(__name__).error("The tick's receiver %s failed.", receiver, exc_info=answer)
