"""IEC 61851-1:2017, conductive charging of vehicles.

Here: current by duty cycle of the control pilot, by resistor of the cable assembly.
Not here: timing, simplified pilot, digital communication.
"""

from pipeline.standards.source import Source

SOURCE = Source("IEC 61851-1", "2017")
