"""The style sheet of lessons and questions, in the tones of the palette."""

__all__ = ["STYLE"]

from mosaiclib.drawing.palette import ACCENT, FILLER, GLASS_COLOURS, GOOD, GRID, INK, PAPER, SOFT, WARNING

DONE = GLASS_COLOURS["bottle green"].fill
STYLE = f"""<style>
.mosaic-lesson, .mosaic-questions {{border:1px solid {FILLER}; border-radius:6px;
  background:{PAPER}; padding:12px; color:{INK}}}
.mosaic-controls {{flex:0 0 380px; max-width:420px}}
.mosaic-picture {{flex:1 1 420px; min-width:300px}}
.mosaic-stale svg {{opacity:0.35}}
.mosaic-fold {{text-align:left; font-weight:600}}
.mosaic-echo p {{margin:4px 0; padding:6px 10px; background:{WARNING}; border-left:4px solid {ACCENT}; line-height:1.35}}
.mosaic-help {{color:{SOFT}; font-size:12px; line-height:1.25; margin:-4px 0 6px 4px}}
.mosaic-message p {{margin:4px 0; padding:6px 10px; background:{WARNING}; border-left:4px solid {ACCENT};
  color:{INK}}}
.mosaic-report table {{border-collapse:collapse; font-size:14px; line-height:1.35; width:100%}}
.mosaic-report td {{padding:3px 14px 3px 0; border-bottom:1px solid {GRID}; text-align:left;
  vertical-align:top}}
.mosaic-report td:nth-child(1) {{min-width:150px; max-width:230px}}
.mosaic-report td:nth-child(2) {{font-weight:600; min-width:110px; max-width:240px}}
.mosaic-summary p {{font-size:15px; margin:6px 0; padding:6px 10px; background:{GOOD};
  border-left:4px solid {DONE}}}
.mosaic-ask p {{font-size:15px; line-height:1.45; margin:6px 0; max-width:760px}}
.mosaic-verdict p {{margin:6px 0; padding:6px 10px; border-left:4px solid {DONE}; background:{GOOD};
  max-width:760px}}
.mosaic-verdict p.no {{border-color:{ACCENT}; background:{WARNING}}}
</style>"""
