//! The plant's busiest state: diesel and turbo-generator share the ship's load, with the boiler steaming.

use super::hand::{Hand, in_state};

/// The prepared state of that name, with what makes it busy looked at.
pub fn on_the_board() -> Hand {
    let h = in_state("on-the-board");
    let stands = |tag| h.actual(tag) > 0.5;
    assert!(stands("CB-5101") && stands("CB-5001") && !stands("CB-5400") && stands("BSH-2001"), "{}", h.tell());
    h
}
