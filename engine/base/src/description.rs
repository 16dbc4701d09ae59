//! The neutral description of a plant: components with a kind, links and fields, as text with its
//! place. Who reads the file fills it; who assembles the plant gives it meaning.

use crate::{Place, Tag};
use std::collections::BTreeMap;

/// A plant as it was written down.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Description {
    /// Short name by which an exercise asks for it, such as `training-vessel`.
    pub name: String,
    /// Version of the plant, such as `1.0.0`.
    pub version: String,
    /// Title for people.
    pub title: String,
    /// The systems in the order in which they are told, with a title each.
    pub systems: Vec<(String, String)>,
    /// The components in file order.
    pub components: Vec<Component>,
}

/// One component as it was written down.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Component {
    /// Its tag, unique in the plant.
    pub tag: String,
    /// Its kind, such as `pump`.
    pub kind: String,
    /// The system it belongs to, one of [`Description::systems`].
    pub system: String,
    /// What people call it: "main sea-water pump 1".
    pub name: String,
    /// Other components that it is joined to, by the role they play: `from`, `to`, `of`.
    pub links: BTreeMap<String, Tag>,
    /// Its data by name: text with units ("30 m"), and where the figure comes from.
    pub fields: BTreeMap<String, Field>,
    /// Tables by name, such as a pump's curve.
    pub tables: BTreeMap<String, Table>,
    /// Where it was written.
    pub place: Place,
}

/// One figure or word of a component.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Field {
    /// The value as text: "30 m", "42 % open", "shut".
    pub value: String,
    /// Where the figure comes from: a maker's class of value, a handbook, our own choice.
    pub source: String,
}

/// A table of two columns.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Unit of the first column.
    pub x_unit: String,
    /// Unit of the second column.
    pub y_unit: String,
    /// The rows.
    pub rows: Vec<(f64, f64)>,
    /// Where the figures come from.
    pub source: String,
}

impl Description {
    /// The tags in file order.
    pub fn tags(&self) -> impl Iterator<Item = &str> {
        self.components.iter().map(|c| c.tag.as_str())
    }
}
