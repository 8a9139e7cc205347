"""What a job takes: true areas to coat, coatings, glue, fastenings, the buying list, its cost and the quotation."""
