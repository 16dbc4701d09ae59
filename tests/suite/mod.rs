//! The suites, one file a subject.

mod book;
mod layers;
