//! Places of the plant and how long it takes to walk there.
//!
//! A plant file gives each place its way from the control room. Between two other places the way is
//! taken as long as the longer of the two ways from the control room (own choice: no map is asked
//! for); to where one stands already it is nothing.

use base::tick::TICKS_PER_SECOND;

/// The way to a place that no "place" of the plant file describes (ticks): 30 s, own choice.
pub const WALK: u32 = 30 * TICKS_PER_SECOND;

/// A place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WalkTo {
    /// What components call it in their field "place".
    pub place: String,
    /// Ticks from the control room.
    pub walk: u32,
}

/// Ticks from one place to another; an empty name is the control room, 0 ticks from itself.
#[must_use]
pub fn ticks_between(places: &[WalkTo], from: &str, to: &str) -> u32 {
    let way = |name: &str| {
        if name.is_empty() {
            return 0;
        }
        places.iter().find(|p| p.place == name).map_or(WALK, |p| p.walk)
    };
    if from == to { 0 } else { way(from).max(way(to)) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ways_are_counted_from_the_control_room() {
        let places =
            [WalkTo { place: "boiler front".into(), walk: 200 }, WalkTo { place: "lower level".into(), walk: 400 }];
        assert_eq!(ticks_between(&places, "", "boiler front"), 200);
        assert_eq!(ticks_between(&places, "boiler front", "boiler front"), 0);
        assert_eq!(ticks_between(&places, "boiler front", "lower level"), 400);
        assert_eq!(ticks_between(&places, "lower level", ""), 400);
    }
}
