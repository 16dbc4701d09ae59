//! From a script to an exercise as plain data.

use crate::Input;
use crate::desk::Log;
use crate::host::Host;
use crate::limits;
use crate::teller::Teller;
use crate::whole;
use base::sheet::{Item, ItemKind, Sheet};
use base::{Diagnostic, Place, Severity};
use monitor::Formula;
use session::Exercise;

/// What a script leaves behind.
#[derive(Clone, Debug)]
pub struct Authored {
    /// The exercise.
    pub exercise: Exercise,
    /// The mark sheet, its conditions as formulas over [`Exercise::watched`].
    pub sheet: Sheet<Formula>,
    /// Every condition of the mark sheet once more, in a row: what a monitor is made for.
    pub conditions: Vec<ItemCondition>,
    /// What `print` said.
    pub log: Log,
    /// Warnings.
    pub warnings: Vec<Diagnostic>,
}

/// A condition of an item.
#[derive(Clone, Debug, PartialEq)]
pub struct ItemCondition {
    /// The item, by its place in the sheet.
    pub item: usize,
    /// The part it plays there.
    pub role: Role,
    /// The formula.
    pub formula: Formula,
    /// In words.
    pub told: String,
    /// Where it was written.
    pub place: Place,
}

/// The part that a condition plays in an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// What a step must bring about.
    Done,
    /// What a limit keeps.
    Keep,
    /// When a limit is looked at.
    During,
    /// What answers a fault.
    By,
    /// What an order forbids.
    Wrong,
}

impl Authored {
    /// The mark sheet with each condition as its place in [`Authored::conditions`].
    #[must_use]
    pub fn indexed_sheet(&self) -> Sheet<usize> {
        let mut next = 0;
        let mut index = |_: &Formula| {
            next += 1;
            next - 1
        };
        Sheet {
            items: self.sheet.items.iter().map(|i| map(i, &mut index)).collect(),
            pass: self.sheet.pass,
            competences: self.sheet.competences.clone(),
        }
    }
}

/// Runs a script and gives its exercise.
///
/// # Errors
/// All mistakes of the script, in the order of files and lines.
pub fn author(input: &Input) -> Result<Authored, Vec<Diagnostic>> {
    let host = read(input)?;
    let mut desk = host.desk.borrow_mut();
    let desk = &mut *desk;
    let (heading, _) = desk.heading.take().unwrap_or_default();
    let followed = desk.followed().len();
    let teller = Teller { shelf: &desk.shelf, names: &desk.names };
    let mut conditions = Vec::new();
    let mut items = Vec::new();
    let mut row = std::mem::take(&mut desk.row);
    for (at, item) in desk.items.iter().enumerate() {
        let mut role = match &item.kind {
            ItemKind::Step { .. } => Role::Done,
            ItemKind::Limit { .. } => Role::Keep,
            ItemKind::Response { .. } => Role::By,
            ItemKind::Order { .. } => Role::Wrong,
            ItemKind::Steadiness { .. } | ItemKind::Finding { .. } => Role::Keep,
        };
        items.push(map(item, &mut |c| {
            let formula = desk.shelf.formula(*c, &mut row);
            conditions.push(ItemCondition {
                item: at,
                role,
                formula: formula.clone(),
                told: teller.clause(*c),
                place: desk.shelf.condition(*c).place.clone(),
            });
            role = Role::During;
            formula
        }));
    }
    Ok(Authored {
        exercise: Exercise {
            title: heading.title,
            brief: heading.brief,
            plant: heading.plant,
            start: heading.start,
            lasts: heading.lasts,
            watched: row.watched,
            faults: std::mem::take(&mut desk.faults),
            trends: heading.trends,
            stories: desk.stories + followed,
        },
        sheet: Sheet { items, pass: heading.pass, competences: std::mem::take(&mut desk.competences) },
        conditions,
        log: std::mem::take(&mut desk.log),
        warnings: std::mem::take(&mut desk.told),
    })
}

/// Runs a script and checks what it wrote; gives the state, in which stories can go on.
pub(crate) fn read(input: &Input) -> Result<Host, Vec<Diagnostic>> {
    let host = Host::new(input, limits::FUEL_READING).map_err(|e| {
        let message = format!("the state for scripts cannot be set up: {e}");
        vec![Diagnostic::error("script::state", Place::file(&input.sources.main.0), message)]
    })?;
    host.run_main(input);
    let mut desk = host.desk.borrow_mut();
    // What is missing is only told of a script that ran to its end.
    if !desk.broke_off && !host.meter.is_hit() {
        whole::check(&mut desk, &input.sources.main.0);
    }
    if desk.has_mistakes() {
        let mut told = std::mem::take(&mut desk.told);
        // Warnings would only hide the mistakes, and may come of them.
        told.retain(|d| d.severity == Severity::Error);
        told.sort_by(|a, b| a.place.cmp(&b.place));
        return Err(told);
    }
    drop(desk);
    Ok(host)
}

/// The item with its conditions changed, in the order done; keep, during; by; wrong; within, during.
fn map<A, B>(item: &Item<A>, f: &mut dyn FnMut(&A) -> B) -> Item<B> {
    let kind = match &item.kind {
        ItemKind::Step { done, after, full_by, none_by, out_of_order, none_short } => ItemKind::Step {
            done: f(done),
            after: after.clone(),
            full_by: *full_by,
            none_by: *none_by,
            out_of_order: *out_of_order,
            none_short: *none_short,
        },
        ItemKind::Limit { keep, during, none_beyond, none_after } => ItemKind::Limit {
            keep: f(keep),
            during: during.as_ref().map(&mut *f),
            none_beyond: *none_beyond,
            none_after: *none_after,
        },
        ItemKind::Response { to, by, full, none } => {
            ItemKind::Response { to: to.clone(), by: f(by), full: *full, none: *none }
        }
        ItemKind::Order { steps, wrong, none_at } => {
            ItemKind::Order { steps: steps.clone(), wrong: wrong.as_ref().map(f), none_at: *none_at }
        }
        ItemKind::Steadiness { within, during, none_beyond } => {
            ItemKind::Steadiness { within: f(within), during: during.as_ref().map(&mut *f), none_beyond: *none_beyond }
        }
        ItemKind::Finding { of, right_equipment, guess } => {
            ItemKind::Finding { of: of.clone(), right_equipment: *right_equipment, guess: *guess }
        }
    };
    Item {
        name: item.name.clone(),
        expected: item.expected.clone(),
        practise: item.practise.clone(),
        marks: item.marks,
        critical: item.critical,
        counts: item.counts.clone(),
        kind,
        place: item.place.clone(),
    }
}

impl Authored {
    /// The most severe of the warnings, if there are any.
    #[must_use]
    pub fn worst(&self) -> Option<Severity> {
        self.warnings.iter().map(|d| d.severity).max()
    }
}
