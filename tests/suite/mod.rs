//! The suites, one file a subject.

mod layers;
