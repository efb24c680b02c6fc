"""`python -m mosaiclib.pages`: for developers, after a workbook was changed; its new form then counts as the shipped one."""

from pathlib import Path

from mosaiclib.pages import record

if __name__ == "__main__":
    record(Path(__file__).resolve().parents[2] / "workbooks")
