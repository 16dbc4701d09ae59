//! The one integration-test binary: what crosses layers, and what a user meets at the command line.

mod suite;
