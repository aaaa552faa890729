"""Cringle: a speed book for one small keelboat, its crew and their coach."""
