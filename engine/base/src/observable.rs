//! What a condition may look at. A name and no more: who runs the session gives it a value.

use crate::Tag;
use crate::units::Dimension;
use std::fmt;

/// One thing that has a value on every tick. Truth values are 1.0 and 0.0; a moment is 1.0 on the
/// tick in which it happens and 0.0 otherwise; quantities are in SI.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub enum Observable {
    /// What is true at an instrument or a component.
    Actual(Tag),
    /// What a transmitter or switch says.
    Signal(Tag),
    /// What a gauge tells the trainee; for a lamp 1.0 when it is seen lit.
    Shown(Tag),
    /// 1.0 while a lamp is seen lit.
    Lit(Tag),
    /// 1.0 while an alarm stands on the panel.
    Alarm(Tag),
    /// 1.0 while an alarm stands that nobody has acknowledged.
    Unacknowledged(Tag),
    /// The moment an action was carried out: the verb, what on (or anything), and to what (or whatever).
    Did {
        /// The verb of the action.
        verb: Verb,
        /// The control or equipment; `None` for any.
        on: Option<Tag>,
        /// The setting asked for, as it stands in the control's list or "35 % open"; `None` for any.
        to: Option<String>,
    },
    /// 1.0 while a control stands at a setting such as "auto"; the value itself for a dial when `to` is `None`.
    Setting {
        /// The control.
        on: Tag,
        /// The word of the setting.
        to: Option<String>,
    },
    /// 1.0 while a trip is latched.
    Tripped(Tag),
    /// 1.0 while a fault of the exercise acts, by the name the exercise gave it.
    Fault(String),
    /// How much damage a component has taken: 0 none, 1 spoilt.
    Damage(Tag),
    /// Seconds since the start of the run.
    Clock,
}

/// What a trainee may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verb {
    /// Operate a control on the panel, or send the helper to one that is operated on the spot.
    Operate,
    /// Acknowledge an alarm (or all that stand).
    Acknowledge,
    /// Press the lamp test.
    LampTest,
    /// Send the helper to look at something on the spot.
    LocalCheck,
    /// Report what seems to be wrong.
    Report,
    /// Send the helper to repair something.
    Repair,
}

impl Verb {
    /// Every verb, in the order of the log format.
    pub const ALL: [Verb; 6] =
        [Verb::Operate, Verb::Acknowledge, Verb::LampTest, Verb::LocalCheck, Verb::Report, Verb::Repair];

    /// As written in logs and scripts.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Verb::Operate => "operate",
            Verb::Acknowledge => "acknowledge",
            Verb::LampTest => "lamp test",
            Verb::LocalCheck => "local check",
            Verb::Report => "report",
            Verb::Repair => "repair",
        }
    }

    /// The verb with this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Verb> {
        Verb::ALL.into_iter().find(|v| v.word() == word)
    }
}

impl fmt::Display for Observable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Observable::Actual(t) => write!(f, "actual {t}"),
            Observable::Signal(t) => write!(f, "signal of {t}"),
            Observable::Shown(t) => write!(f, "{t} as shown"),
            Observable::Lit(t) => write!(f, "lamp {t} lit"),
            Observable::Alarm(t) => write!(f, "alarm {t} standing"),
            Observable::Unacknowledged(t) => write!(f, "alarm {t} unacknowledged"),
            Observable::Did { verb, on, to } => {
                write!(f, "{}", verb.word())?;
                if let Some(on) = on {
                    write!(f, " {on}")?;
                }
                if let Some(to) = to {
                    write!(f, " to {to}")?;
                }
                Ok(())
            }
            Observable::Setting { on, to: Some(to) } => write!(f, "{on} set to {to}"),
            Observable::Setting { on, to: None } => write!(f, "setting of {on}"),
            Observable::Tripped(t) => write!(f, "{t} tripped"),
            Observable::Fault(n) => write!(f, "fault \"{n}\" acting"),
            Observable::Damage(t) => write!(f, "damage to {t}"),
            Observable::Clock => write!(f, "time since the start"),
        }
    }
}

/// An observable with what is known of its value: what margins are told in.
#[derive(Clone, Debug, PartialEq)]
pub struct Watched {
    /// What is looked at.
    pub what: Observable,
    /// The dimension of its value.
    pub dimension: Dimension,
}
