"""Write down what happened: who, what, one short form."""
