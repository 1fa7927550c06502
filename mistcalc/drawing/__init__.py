"""Paper: one neutral sheet in millimetres, three thin writers (SVG, PDF, DXF), a label placer.

Nothing here knows of lids, marks or water; `report` draws those with what stands here.
"""
