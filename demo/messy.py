def write_messy(folder):
    pass
