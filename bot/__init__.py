"""The talking: terminal, scripts, messenger, store. All decisions are made in `core`."""
