"""What is written down about a machine in pieces: frozen, typed records, no rules, no I/O."""

from tagbench.records.away import Batch, BatchPiece, Errand, Finish, LooseItem, Lost
from tagbench.records.base import Record, from_plain, replace, to_json, to_plain
from tagbench.records.bin import BIN_KINDS, BIN_MARK, Bin
from tagbench.records.buying import PartNumber, StockItem, Want, WrongItem
from tagbench.records.care import CareStep, Reading, Soak, Step
from tagbench.records.care_steps import CARE_STEPS
from tagbench.records.change import Change, Edit
from tagbench.records.composition import OwnPart, Pin, Stack, StackPiece, Wiring
from tagbench.records.desk import ANY_MARK, Desk, Phone, PrinterFit, Tag
from tagbench.records.fastener import Fastener, Torque, TorquePass
from tagbench.records.machine import Machine, Setting, Units
from tagbench.records.part import (
    Gasket,
    GasketHole,
    GasketOutline,
    Override,
    Part,
    Photo,
    TracedHole,
)
from tagbench.records.tables import (
    RETIRED,
    TABLES,
    Tables,
    by_key,
    keep_worked_out,
    key_in,
    once,
    table_of,
)

__all__ = [
    "ANY_MARK",
    "BIN_KINDS",
    "BIN_MARK",
    "CARE_STEPS",
    "RETIRED",
    "TABLES",
    "Batch",
    "BatchPiece",
    "Bin",
    "CareStep",
    "Change",
    "Desk",
    "Edit",
    "Errand",
    "Fastener",
    "Finish",
    "Gasket",
    "GasketHole",
    "GasketOutline",
    "LooseItem",
    "Lost",
    "Machine",
    "Override",
    "OwnPart",
    "Part",
    "PartNumber",
    "Phone",
    "Photo",
    "Pin",
    "PrinterFit",
    "Reading",
    "Record",
    "Setting",
    "Soak",
    "Stack",
    "StackPiece",
    "Step",
    "StockItem",
    "Tables",
    "Tag",
    "Torque",
    "TorquePass",
    "TracedHole",
    "Units",
    "Want",
    "Wiring",
    "WrongItem",
    "by_key",
    "from_plain",
    "keep_worked_out",
    "key_in",
    "once",
    "replace",
    "table_of",
    "to_json",
    "to_plain",
]
