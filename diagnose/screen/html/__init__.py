"""The page of one plant: answer, letter and pictures of the records, in one file that needs nothing else."""
