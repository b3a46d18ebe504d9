"""Pictures, drawn from the facts of their message. `carrying` is for whoever carries messages; all else here
belongs to the process that draws, and is loaded by that one alone, with nothing of the bot."""
