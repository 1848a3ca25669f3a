"""A traced gasket put out at its true size: PDF pages to glue and cut along, SVG and DXF in mm."""
