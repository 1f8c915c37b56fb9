"""From a look to a pot that has it: materials, recipes, plans, comparison, claims."""
