"""What of a build is shown on a screen: headers ready for JSON, and arrays beside them.

Pure functions of a build or a design; nothing is read, written or kept but in the build's own memory.
"""
