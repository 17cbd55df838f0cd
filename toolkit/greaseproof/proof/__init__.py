"""The proof: every procedure followed on every machine that it covers."""

from .outcome import Act, Fault, Line, Proof
from .proofs import Proofs
from .prover import Prover

__all__ = ["Act", "Fault", "Line", "Proof", "Proofs", "Prover"]
