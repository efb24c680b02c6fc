"""The one way a lesson looks and behaves; records are plain, and only `page`, `fields` and `handles` load widgets.

What cannot be read or is out of range raises MosaicError.
"""
