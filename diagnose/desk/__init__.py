"""The volunteers' desk over a folder of case files: reads, judges, keeps and changes them. Nothing here prints."""
