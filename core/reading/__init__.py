"""Text -> readings: what wet hands type, read by data, asked about instead of guessed."""

from core.reading.context import Context, Limits
from core.reading.contract import reading, to_contract
from core.reading.lexicon import Lexicon, lexicon
from core.reading.reader import read

__all__ = ["Context", "Lexicon", "Limits", "lexicon", "read", "reading", "to_contract"]
