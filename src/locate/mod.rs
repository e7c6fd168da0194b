//! From touches to the motion of the part.
