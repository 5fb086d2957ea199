"""Pictures: plotly figures from core values, each with its sentence and the table behind it.

A figure is plain values as plotly reads them: building it through `plotly.graph_objects` would cost 300 ms of import,
so tests alone do that, to prove every figure valid. Colours are names of the stylesheet (`var(--ink)`), which the page
fills in for day, night and paper.
"""
