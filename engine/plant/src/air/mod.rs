//! Compressed air: compressors, receivers, and the ways between them and to consumers.
//!
//! On every tick: each compressor's `step`, its delivery added to its receiver and its heat put into the
//! cooling water's link; the paths move air; the receivers `step`.

pub mod compressor;
pub mod gas;
pub mod path;
pub mod receiver;

pub use compressor::{Around, Compressor, CompressorFailing, CompressorParams, Delivery, Selector};
pub use path::AirPath;
pub use receiver::{Receiver, ReceiverParams, SafetyParams, Shell};
