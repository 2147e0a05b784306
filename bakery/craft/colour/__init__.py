"""Colour: what a screen colour is to the eye, and what drops from several bottles make together."""
