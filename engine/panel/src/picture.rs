//! The whole panel at one moment, as text for whoever prints it.

use crate::alarm::AlarmState;
use crate::{OffScale, Panel, Shown};
use base::Tag;

/// The panel at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// The gauges in file order.
    pub gauges: Vec<GaugeFace>,
    /// The lamps in file order.
    pub lamps: Vec<LampFace>,
    /// The alarms in file order, normal ones too.
    pub alarms: Vec<AlarmFace>,
}

/// A gauge at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct GaugeFace {
    /// Its tag.
    pub tag: Tag,
    /// What it is called.
    pub name: String,
    /// Where its pointer stands, SI.
    pub shown: Shown,
    /// What is read off it: "4.10 barg".
    pub text: String,
    /// Whether the pointer rests at an end of the scale.
    pub off_scale: OffScale,
}

/// A lamp at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct LampFace {
    /// Its tag.
    pub tag: Tag,
    /// What it is called.
    pub name: String,
    /// Whether it is seen lit.
    pub lit: bool,
}

/// An alarm at one moment.
#[derive(Clone, Debug, PartialEq)]
pub struct AlarmFace {
    /// Its tag.
    pub tag: Tag,
    /// Its text.
    pub text: String,
    /// How it stands.
    pub state: AlarmState,
}

impl Panel {
    /// The panel as it is seen now.
    #[must_use]
    pub fn picture(&self) -> Picture {
        Picture {
            gauges: self
                .gauges()
                .iter()
                .map(|g| GaugeFace {
                    tag: g.tag.clone(),
                    name: g.name.clone(),
                    shown: g.shown(),
                    text: g.text(),
                    off_scale: g.off_scale(),
                })
                .collect(),
            lamps: self
                .lamps()
                .iter()
                .map(|l| LampFace { tag: l.tag.clone(), name: l.name.clone(), lit: l.lit() })
                .collect(),
            alarms: self
                .alarms()
                .iter()
                .map(|a| AlarmFace { tag: a.tag.clone(), text: a.text.clone(), state: a.state() })
                .collect(),
        }
    }
}
