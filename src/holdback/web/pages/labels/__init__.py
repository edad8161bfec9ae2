"""Labels for print: a name, what stands below it, and a code that a phone reads."""
