//! The lines of a log as they stand on disk. The JSON Schema is made from these types.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The first line of a log: whose run of which exercise it is.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HeaderLine {
    /// Always "faultwright-log/1".
    #[schemars(extend("const" = "faultwright-log/1"))]
    pub format: String,
    /// Short name of the exercise, as in the pack.
    pub exercise: String,
    /// Short name of the pack.
    pub pack: String,
    /// Version of the pack that was played.
    pub pack_version: String,
    /// Who: an id without meaning, such as a number on a list.
    #[schemars(length(min = 1, max = 64))]
    pub trainee: String,
    /// The trainee's name, where it may be written down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// When the run began, date and time as in RFC 3339.
    pub start: String,
    /// What recorded it.
    pub recorder: String,
    /// The seed of the run's chance events.
    pub seed: u64,
    /// Parameters of the exercise that were set for this run, as they were written.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub parameters: BTreeMap<String, String>,
}

/// An action: the time, the verb, and what the verb needs. "end" is the last line and says that the
/// recording is whole.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(tag = "do", deny_unknown_fields)]
pub enum ActionLine {
    /// Operate a control on the panel, or send the helper to one that is operated on the spot.
    #[serde(rename = "operate")]
    Operate {
        /// Seconds since the start of the run.
        #[schemars(range(min = 0, max = 86400))]
        t: f64,
        /// Tag of the control.
        on: String,
        /// One of the control's words ("start", "open"), or a setting with its unit ("35 % open").
        to: String,
    },
    /// Acknowledge one alarm, or all that stand when no tag is given.
    #[serde(rename = "acknowledge")]
    Acknowledge {
        /// Seconds since the start of the run.
        #[schemars(range(min = 0, max = 86400))]
        t: f64,
        /// Tag of the alarm.
        on: Option<String>,
    },
    /// Press the lamp test.
    #[serde(rename = "lamp test")]
    LampTest {
        /// Seconds since the start of the run.
        #[schemars(range(min = 0, max = 86400))]
        t: f64,
    },
    /// Send the helper to look at something on the spot.
    #[serde(rename = "local check")]
    LocalCheck {
        /// Seconds since the start of the run.
        #[schemars(range(min = 0, max = 86400))]
        t: f64,
        /// Tag of what is looked at.
        on: String,
    },
    /// Report what seems to be wrong.
    #[serde(rename = "report")]
    Report {
        /// Seconds since the start of the run.
        #[schemars(range(min = 0, max = 86400))]
        t: f64,
        /// Tag of what seems to be wrong.
        on: Option<String>,
        /// The words of the report.
        to: String,
    },
    /// Send the helper to repair something.
    #[serde(rename = "repair")]
    Repair {
        /// Seconds since the start of the run.
        #[schemars(range(min = 0, max = 86400))]
        t: f64,
        /// Tag of what is to be repaired.
        on: String,
    },
    /// The end of the recording.
    #[serde(rename = "end")]
    End {
        /// Seconds since the start of the run.
        #[schemars(range(min = 0, max = 86400))]
        t: f64,
    },
}

/// What the trainee's own panel showed at a moment.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SawLine {
    /// Seconds since the start of the run.
    #[schemars(range(min = 0, max = 86400))]
    pub t: f64,
    /// Indications by tag, each as its gauge or lamp was read: "4.10 barg", "lit".
    pub saw: BTreeMap<String, String>,
}

/// A line after the header, as it is read and written: one type for all, so that an unknown field is
/// told at its column and the time stands first.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BodyLine {
    pub t: super::number::Number,
    #[serde(rename = "do", default, skip_serializing_if = "Option::is_none")]
    pub verb: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub saw: Option<crate::strict::Once<String>>,
}
