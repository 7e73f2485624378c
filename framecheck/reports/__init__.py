"""Reports: a sheet as a page for a terminal, as JSON for programs, as JUnit XML for a CI job.

One file a report; each offers one ``Report`` of its own name and sees a sheet, never the pipeline.
"""
