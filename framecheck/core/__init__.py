"""The words of the house: spans, text, dumps, frames, layers, findings, the sheet.

Values in, values out, standard library only; no file, port or socket is opened here.
"""
