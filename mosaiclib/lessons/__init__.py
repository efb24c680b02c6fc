"""One module a workbook: what its lesson computes, draws, reports and asks."""
