"""What is known of a job: fields, rows, quantities, findings. Imports nothing else of ours."""
