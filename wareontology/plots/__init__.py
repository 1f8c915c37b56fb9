"""Pictures in files: no frame around plots, direct labels, spread as shading, the weak part dotted, source
and data hash beneath. A file a picture; `style` holds what they share."""
