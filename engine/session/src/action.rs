//! What a trainee does.

use base::observable::Verb;
use base::{Tag, Tick};

/// One action of a trainee, plain as it stands in a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Action {
    /// The tick in which it is carried out.
    pub tick: Tick,
    /// The verb.
    pub verb: Verb,
    /// On what.
    pub on: Option<Tag>,
    /// To what, or the words of a report.
    pub to: Option<String>,
}
