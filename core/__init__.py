"""The hatchery: values in, values out. No clock, no network, no database, no messenger."""
