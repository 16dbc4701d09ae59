//! What a class is too small or too even to say.

/// Below this many people the figures of an item move a good deal with each person (common practice).
pub const PEOPLE_WANTED: usize = 30;
/// Below this many people in each of its groups the upper-lower index says little (common practice).
pub const GROUP_WANTED: usize = 10;
/// Wider than this, an interval of a reliability does not tell a good test from a poor one (own choice).
pub const WIDTH_WANTED: f64 = 0.3;
/// Below this an item and the rest of the sheet hardly go together (common practice).
pub const REST_WANTED: f64 = 0.2;

/// A reason to take a figure with care, as data; whoever shows figures puts it in words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Caution {
    /// Fewer people (or, for agreement, fewer subjects) than the figures ask for.
    FewPeople {
        /// How many there were.
        people: usize,
        /// How many are wanted.
        wanted: usize,
    },
    /// The upper and lower groups are small.
    SmallGroups {
        /// People in each.
        group: usize,
        /// How many are wanted.
        wanted: usize,
    },
    /// People left out, since a score of theirs is missing.
    Dropped {
        /// How many.
        people: usize,
    },
    /// Fewer than two items: there is no reliability to work out.
    FewItems,
    /// Everybody has the same total: nothing goes with anything.
    EvenTotals,
    /// Everybody has the same score at this item: it tells nobody apart.
    EvenItem {
        /// The item.
        item: usize,
    },
    /// The item goes against the rest: who does well elsewhere does worse here. Look at the item.
    AgainstTheRest {
        /// The item.
        item: usize,
    },
    /// The item hardly goes with the rest.
    BesideTheRest {
        /// The item.
        item: usize,
    },
    /// The reliability is below 0: items go against each other more than together.
    NegativeReliability,
    /// The interval of a reliability or a correlation is wide.
    WideInterval {
        /// Its lower end.
        low: f64,
        /// Its upper end.
        high: f64,
    },
    /// All ratings are in one category, or nothing differs: agreement beyond chance has no meaning.
    NothingToAgreeOn,
    /// Logs too short for likeness to mean anything.
    ShortLogs {
        /// How many logs.
        logs: usize,
        /// How many acts are wanted in one.
        wanted: usize,
    },
}
