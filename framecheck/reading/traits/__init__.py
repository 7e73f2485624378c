"""Traits of a layout, one file each: what can stand beside the octets of a row."""
