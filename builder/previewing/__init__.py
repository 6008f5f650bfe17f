"""The live preview: what was saved is shown at once, the whole site follows when it is quiet.

Start at :func:`builder.previewing.preview.show_preview`.
"""
