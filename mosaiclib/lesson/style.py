"""The style sheet of lessons and questions, in the tones of the palette.

A lesson heeds its own width, so that it is as usable in JupyterLab as on a page. A page sets `--bar`, the height of its
bar, and `--high` and `--wide`, the room that a picture may take.
"""

__all__ = ["STYLE"]

from mosaiclib.drawing.palette import ACCENT, FILLER, GLASS_COLOURS, GOOD, GRID, INK, PAPER, SECOND, SOFT, WARNING

DONE = GLASS_COLOURS["bottle green"].fill
STYLE = f"""<style>
.mosaic-lesson, .mosaic-questions {{border:1px solid {FILLER}; border-radius:6px;
  background:{PAPER}; padding:6px 12px 12px; color:{INK}}}
.mosaic-lesson {{container-type:inline-size}}
.mosaic-heading h3 {{margin:0; line-height:1.5}}
.mosaic-top {{display:flex; flex-flow:row nowrap; gap:16px; align-items:flex-start}}
.mosaic-controls {{flex:0 0 clamp(356px, 31cqw, 460px); min-width:0}}
.mosaic-seen {{flex:1 1 0; min-width:0; background:{PAPER}}}
@container (max-width:820px) {{
  .mosaic-top {{flex-flow:column nowrap; align-items:stretch}}
  .mosaic-controls, .mosaic-seen {{flex:0 0 auto}}
  .mosaic-seen {{order:-1}}
}}
.jp-Cell:has(.mosaic-lesson) :is(.jp-OutputArea, .jp-OutputArea-child, .jp-OutputArea-output, .jp-Cell-outputWrapper,
  .widget-box, .widget-html-content), .jp-Cell:has(.mosaic-lesson) {{overflow:visible; contain:none}}
.mosaic-seen {{position:sticky; top:calc(var(--bar, 0px) + 4px); z-index:5}}
.mosaic-picture {{width:100%; margin:0}}
.mosaic-picture > .widget-html-content {{flex:1 1 0; min-width:0}}
.mosaic-stale svg, .mosaic-stale p, .mosaic-stale table {{opacity:0.4}}
.mosaic-controls .widget-label {{white-space:normal; overflow:visible; height:auto; line-height:1.2; align-self:center;
  text-align:left}}
.mosaic-controls .widget-inline-hbox {{height:auto; min-height:30px; align-items:center}}
.mosaic-controls .widget-hbox {{flex-wrap:wrap}}
.mosaic-controls .widget-hbox > .widget-slider {{flex:1 1 226px; width:auto !important; min-width:0}}
.mosaic-controls .widget-hbox > .widget-text {{margin-left:auto}}
.mosaic-controls .widget-toggle-buttons {{display:flex; flex-flow:row wrap}}
.mosaic-controls .widget-dropdown, .mosaic-controls .widget-checkbox {{width:calc(100% - 4px) !important; flex-wrap:wrap}}
.mosaic-controls .widget-html {{min-height:0 !important}}
.mosaic-controls .widget-dropdown > select {{flex:1 1 auto; width:auto; max-width:100%; height:28px}}
.mosaic-controls .widget-checkbox .widget-label-basic {{white-space:normal; overflow:visible; height:auto; line-height:1.3}}
.mosaic-controls .jupyter-button {{height:auto; min-height:28px; line-height:1.3; white-space:normal}}
.mosaic-controls .widget-gridbox input {{font-size:12px; padding:0 4px; field-sizing:content}}
.mosaic-controls .widget-vbox > .widget-text, .mosaic-controls > .widget-text,
.mosaic-controls .widget-textarea {{width:calc(100% - 4px) !important; flex-wrap:wrap}}
.mosaic-controls .widget-vbox > .widget-text > input, .mosaic-controls > .widget-text > input {{
  field-sizing:content; flex:1 1 auto; max-width:100%}}
.mosaic-controls textarea {{field-sizing:content; min-height:28px; font-family:inherit; line-height:1.4; resize:vertical}}
.mosaic-card svg {{width:84px; height:auto; max-height:84px; pointer-events:none}}
.mosaic-fold {{text-align:left; font-weight:600}}
.mosaic-controls .mosaic-chooser {{font-size:0}} /* the widget adds how many files it holds: here never any */
.mosaic-controls .mosaic-chooser::after {{content:attr(title); font-size:13px}}
.mosaic-controls .mosaic-help {{color:{SOFT}; min-height:0; margin:0 0 2px 4px}}
.mosaic-help div {{font-size:12px; line-height:1.25}}
.mosaic-summary {{min-height:var(--line,51px); margin:0; align-items:flex-start}}
.mosaic-message {{height:38px; margin:0; overflow:visible; z-index:2; position:relative; align-items:flex-start}}
.mosaic-message p {{margin:0; padding:6px 10px; background:{WARNING}; border-left:4px solid {ACCENT};
  color:{INK}; line-height:1.35}}
.mosaic-report table {{border-collapse:collapse; font-size:14px; line-height:1.35; width:100%}}
.mosaic-report td {{padding:3px 14px 3px 0; border-bottom:1px solid {GRID}; text-align:left;
  vertical-align:top}}
.mosaic-report a {{color:{SECOND}; text-decoration:underline; white-space:nowrap}}
.mosaic-report td:nth-child(1) {{min-width:150px; max-width:230px}}
.mosaic-report td:nth-child(2) {{font-weight:600; min-width:110px; max-width:240px}}
.mosaic-summary p {{font-size:15px; line-height:1.35; margin:0; padding:5px 10px; background:{GOOD};
  border-left:4px solid {DONE}}}
.mosaic-ask p {{font-size:15px; line-height:1.45; margin:6px 0; max-width:760px}}
.mosaic-verdict {{min-height:48px}}
.mosaic-verdict p {{margin:6px 0; padding:6px 10px; border-left:4px solid {DONE}; background:{GOOD};
  max-width:760px}}
.mosaic-verdict p.no {{border-color:{ACCENT}; background:{WARNING}}}
.mosaic-paper {{display:none !important}}
</style>"""
