"""Writers: one module for each document that goes out.

Each is handed finished rows and lays them on paper; nothing is computed here that a reader could
ask about. What a client or a sponsor gets is written from values that hold nothing else.
"""
