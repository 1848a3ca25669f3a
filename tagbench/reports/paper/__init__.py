"""Reports on paper: what stands on a sheet as blocks, and the blocks laid out on pages."""
