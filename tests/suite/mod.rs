//! The suites, one file a subject.

mod affects;
mod alike;
mod bad_input;
mod bench;
mod book;
mod broken;
mod by_hand;
mod checking;
mod comparing;
mod drawings;
mod driving;
mod editors;
mod faults;
mod grading;
mod hostile;
mod kept;
mod layers;
mod moderation;
mod pages;
mod plant;
mod shipped;
mod states;
mod stories;
mod traces;
