//! The suites, one file a subject.

mod bad_input;
mod bench;
mod book;
mod broken;
mod checking;
mod driving;
mod grading;
mod layers;
mod pages;
mod plant;
mod shipped;
