"""Pure optical arithmetic: SI floats in, SI floats out, standard library only.

Distances called ``distance_m`` run from the sensor plane, as a photographer measures them and as a
lens's closest focus is given; ``object_m`` runs from the lens (its front principal plane).
"""
