"""What a drawing becomes: text, SVG, PDF, DXF. Each renders and returns; none writes a file."""
