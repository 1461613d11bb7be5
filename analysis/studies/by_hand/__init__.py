"""By hand and exactly: each sum a student can do with a calculator, opened line by line, beside the exact float."""
