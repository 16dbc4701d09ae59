//! Practice of the trade on this plant: done that way it works and hurts nothing; done otherwise, the physics answers.
//!
//! All of it is common practice with no published source: rules on order, direction and protection, checked as
//! comparisons and never to the digit.

mod boiler;
mod condenser;
mod cooling;
mod electrical;
mod fire;
mod heavy_oil;
mod lines;
mod services;
mod turbine;
mod water;
