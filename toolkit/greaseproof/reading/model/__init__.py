"""The records of a manual: every key an author may write, with what it means.

The editor's JSON Schema, the reader and the guide's page of keys all come from these declarations.
"""

from .conditions import CONDITIONS_FILE, POLICY_FILE, Condition, Meaning, PolicyRow, Selector, StepSelector
from .machines import Feature, KeptMachine, Machine, MachinesFile, ManualFile
from .procedure import ACTIONS, Fitted, Lift, Procedure, SignalWord, Step, Time
from .store import SUPPLIES_FILE, TOOLS_FILE, Supply, Tool
from .things import Again, Connection, Control, Fixing, Fluid, Part, PartsFile, Stages, Thing

__all__ = [
    "ACTIONS",
    "CONDITIONS_FILE",
    "POLICY_FILE",
    "SUPPLIES_FILE",
    "TOOLS_FILE",
    "Again",
    "Condition",
    "Connection",
    "Control",
    "Feature",
    "Fitted",
    "Fixing",
    "Fluid",
    "KeptMachine",
    "Lift",
    "Machine",
    "MachinesFile",
    "ManualFile",
    "Meaning",
    "Part",
    "PartsFile",
    "PolicyRow",
    "Procedure",
    "Selector",
    "SignalWord",
    "Stages",
    "Step",
    "StepSelector",
    "Supply",
    "Thing",
    "Time",
    "Tool",
]
