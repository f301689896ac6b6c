"""Which published material fills which role, by edition: rules ask an `Edition`, never a document."""

from pipeline.editions.cables import Capacity
from pipeline.editions.drops import Drop, Load
from pipeline.editions.edition import IDENTITIES, Correction, Edition, choose, edition
from pipeline.editions.runs import CABLE_CELLS, DEVICE_CELLS, CableRun, Device
from pipeline.standards.table import Missing, Value, derived, together, weakest

__all__ = [
    "CABLE_CELLS",
    "DEVICE_CELLS",
    "IDENTITIES",
    "CableRun",
    "Capacity",
    "Correction",
    "Device",
    "Drop",
    "Edition",
    "Load",
    "Missing",
    "Value",
    "choose",
    "derived",
    "edition",
    "together",
    "weakest",
]
