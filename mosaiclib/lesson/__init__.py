"""The one way a lesson looks and behaves; records are plain, and only what shows them loads widgets.

What cannot be read or is out of range raises MosaicError.
"""
