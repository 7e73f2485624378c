"""The version of framecheck, as its package states it."""

VERSION = "0.1.0"
