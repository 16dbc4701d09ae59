//! The one integration-test binary: what crosses layers, and what a user meets at the command line.

// What these helpers need must be there; a test that cannot go on fails by panicking.
#![allow(clippy::unwrap_used)]

mod suite;
