//! What can only be seen when the whole script is known: names that nothing has, marks that do not add
//! up, steps and faults that wait for each other, faults that never start, conditions that never hold.

mod doubts;

use crate::condition::{ConditionId, Kind};
use crate::counting;
use crate::desk::{Desk, Heading, Mention};
use crate::ranges::Ranges;
use crate::teller::{Teller, span};
use crate::words::items;
use base::observable::Observable;
use base::sheet::{ItemKind, Marks, Sheet};
use base::{Diagnostic, Place, Tick};
use petgraph::algo::tarjan_scc;
use petgraph::graph::{DiGraph, NodeIndex};
use session::{FaultPlan, Moment};
use std::collections::BTreeSet;

/// Checks the whole of what a script wrote.
pub fn check(desk: &mut Desk, main: &str) {
    let whole = Place::file(main);
    for (word, name, place) in std::mem::take(&mut desk.begun).into_values() {
        desk.wrong(
            "script::no-table",
            &place,
            format!("{word} \"{name}\" has no table"),
            &format!("write {word} \"{name}\" {{ … }}"),
        );
    }
    let Some((heading, place)) = desk.heading.clone() else {
        desk.wrong(
            "script::no-exercise",
            &whole,
            "the script writes no exercise",
            "begin it with exercise { title = …, plant = …, start = …, lasts = … }",
        );
        return;
    };
    names(desk);
    order(desk);
    items::fill_in(desk);
    counting::check(desk);
    marks(desk, &heading, &place);
    let idle = faults(desk, &heading);
    conditions(desk, &heading, &idle);
    doubts::check(desk, &heading);
    desk.idle = idle;
    if desk.items.is_empty() && !desk.has_mistakes() {
        desk.tell(Diagnostic::warning(
            "script::no-items",
            whole,
            "the exercise has no items, so there is nothing to mark",
        ));
    }
}

/// How many names are told beside one that there is not.
const FEW: usize = 12;

/// Names that must exist by the end.
fn names(desk: &mut Desk) {
    let steps = desk.step_names();
    let items: Vec<String> = desk.items.iter().map(|i| i.name.clone()).collect();
    let groups: Vec<String> = desk.groups.iter().map(|g| g.0.clone()).collect();
    let faults: Vec<String> = desk.faults.iter().map(|f| f.name.clone()).collect();
    for (what, name, place) in std::mem::take(&mut desk.mentioned) {
        let (known, code, message) = match what {
            Mention::Step => (&steps, "script::unknown-step", format!("no step is called \"{name}\"")),
            Mention::Item => (&items, "script::unknown-item", format!("no item is called \"{name}\"")),
            Mention::Group => (&groups, "script::unknown-group", format!("no group is called \"{name}\"")),
            Mention::Fault => (&faults, "script::unknown-fault", format!("the exercise has no fault \"{name}\"")),
        };
        if !known.contains(&name) {
            let by_tag = desk.faults.iter().find(|f| what == Mention::Fault && f.on.as_str() == name);
            let d = Diagnostic::error(code, place, message);
            let d = match by_tag {
                Some(f) => d.hint(format!("the fault of {} is called \"{}\"", f.on, f.name)),
                None => d.nearest(&name, known.iter().map(String::as_str)),
            };
            let none = d.hint.is_none() && !known.is_empty() && known.len() <= FEW;
            let all: BTreeSet<&str> = known.iter().map(String::as_str).collect();
            let all: Vec<&str> = all.into_iter().collect();
            desk.tell(if none { d.hint(format!("there are: {}", all.join(", "))) } else { d });
        }
    }
}

/// Rings of a graph, each with its members in the order in which they were written.
fn rings(count: usize, edges: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut graph = DiGraph::<(), ()>::with_capacity(count, edges.len());
    for _ in 0..count {
        graph.add_node(());
    }
    for (from, to) in edges {
        graph.add_edge(NodeIndex::new(*from), NodeIndex::new(*to), ());
    }
    let mut rings: Vec<Vec<usize>> = tarjan_scc(&graph)
        .into_iter()
        .map(|ring| {
            let mut ring: Vec<usize> = ring.into_iter().map(NodeIndex::index).collect();
            ring.sort_unstable();
            ring
        })
        .filter(|ring| ring.len() > 1 || edges.contains(&(ring[0], ring[0])))
        .collect();
    rings.sort_unstable();
    rings
}

/// Tells steps that come after each other in a ring.
fn order(desk: &mut Desk) {
    let steps: Vec<(String, Vec<String>, Place)> = desk
        .items
        .iter()
        .filter_map(|i| match &i.kind {
            ItemKind::Step { after, .. } => Some((i.name.clone(), after.clone(), i.place.clone())),
            _ => None,
        })
        .collect();
    let mut edges = Vec::new();
    for (i, (_, after, _)) in steps.iter().enumerate() {
        edges.extend(after.iter().filter_map(|name| Some((i, steps.iter().position(|s| s.0 == *name)?))));
    }
    for ring in rings(steps.len(), &edges) {
        let names: Vec<String> = ring.iter().map(|i| format!("\"{}\"", steps[*i].0)).collect();
        let message = match names.as_slice() {
            [one] => format!("the step {one} comes after itself"),
            [a, b] => format!("the steps {a} and {b} each come after the other"),
            many => format!("the steps {} come after each other in a circle", many.join(", ")),
        };
        let at = desk.field_place(&steps[ring[0]].2, "after");
        desk.wrong("script::circular", &at, message, "take one of the after away");
    }
}

/// Tells marks that do not add up.
fn marks(desk: &mut Desk, heading: &Heading, place: &Place) {
    let sum = Sheet { items: desk.items.clone(), ..Sheet::default() }.whole();
    if let Some(pass) = heading.pass
        && pass > sum
    {
        let at = desk.field_place(place, "pass");
        let message = format!("{pass} marks to pass, but all items together give {sum}");
        desk.wrong("script::pass", &at, message, "lower pass or give more marks");
    }
    // Where the marks of an item could not be read the sum says nothing.
    let unread = |d: &Diagnostic| {
        d.severity == base::Severity::Error
            && matches!(
                d.code,
                "script::marks"
                    | "script::field"
                    | "script::missing-field"
                    | "script::unknown-group"
                    | "script::repeated"
            )
    };
    if let Some(out_of) = heading.out_of
        && out_of != sum
        && !desk.told.iter().any(unread)
    {
        let at = desk.field_place(place, "out_of");
        let message = format!("the marks do not add up: out_of says {out_of}, and all items together give {sum}");
        desk.wrong("script::out-of", &at, message, "mend the marks of an item, or out_of");
    }
    let nothing: Vec<(String, Place)> = desk
        .items
        .iter()
        .filter(|i| i.marks == Marks(0) && !i.critical)
        .map(|i| (i.name.clone(), i.place.clone()))
        .collect();
    for (name, place) in nothing {
        let at = desk.field_place(&place, "marks");
        let d = Diagnostic::warning("script::no-marks", at, format!("\"{name}\" gives no marks"));
        desk.tell(d.hint("give it marks, or critical = true if it only decides the run"));
    }
}

/// Tells faults that never start; gives their names.
fn faults(desk: &mut Desk, heading: &Heading) -> BTreeSet<String> {
    let mut idle: BTreeSet<String> = desk.faults.iter().map(|f| f.name.clone()).collect();
    let condition = |desk: &Desk, i: usize| {
        let mut asked = desk.asked.iter().filter(|(f, field, _)| *f == i && matches!(*field, "when" | "after"));
        asked.next().map(|(_, field, c)| (*field, *c))
    };
    let told = |desk: &Desk, name: &str| desk.stories > 0 && (desk.injected.contains(name) || desk.injects_any);
    // What can start when only those act that can start, until no more is found.
    loop {
        let next = desk.faults.iter().enumerate().find(|(i, f)| {
            idle.contains(&f.name)
                && (told(desk, &f.name)
                    || match f.begins {
                        Moment::At(t) => t <= heading.lasts,
                        Moment::After(_, ticks) if ticks > heading.lasts.0 => false,
                        Moment::When(_) | Moment::After(..) => condition(desk, *i).is_none_or(|(_, c)| {
                            let ranges = Ranges {
                                shelf: &desk.shelf,
                                names: &desk.names,
                                lasts: heading.lasts,
                                idle: &idle,
                                instruments: false,
                            };
                            ranges.may(c, true).is_some()
                        }),
                        Moment::ByStory => false,
                    })
        });
        match next.map(|(_, f)| f.name.clone()) {
            Some(name) => idle.remove(&name),
            None => break,
        };
    }
    let mut found = Vec::new();
    for (i, f) in desk.faults.iter().enumerate().filter(|(_, f)| idle.contains(&f.name)) {
        let name = &f.name;
        let late = |what: &str, ticks: u32| {
            format!(
                "the fault \"{name}\" never begins: {what} {}, and the run lasts {}",
                span(ticks),
                span(heading.lasts.0)
            )
        };
        let (field, message, hint) = match &f.begins {
            Moment::At(t) => ("at", late("it is to begin at", t.0), "begin it earlier, or let the run last longer"),
            Moment::After(_, t) if *t > heading.lasts.0 => {
                ("after", late("it waits for", *t), "let it wait for a shorter time")
            }
            Moment::ByStory => (
                "",
                format!("the fault \"{name}\" never begins: it has no at, when or after, and no story injects it"),
                "write for example at = \"5 min\", or run:inject in a story",
            ),
            Moment::When(_) | Moment::After(..) => {
                let Some((field, c)) = condition(desk, i) else { continue };
                let others = waits_for(desk, c, &idle);
                if others.is_empty() {
                    // The condition itself is told.
                    continue;
                }
                let message = format!(
                    "the fault \"{name}\" never begins: it waits for {}, which never acts",
                    others.join(" and ")
                );
                (field, message, "let one of them begin by itself: at = \"5 min\"")
            }
        };
        let at = if field.is_empty() { f.place.clone() } else { desk.field_place(&f.place, field) };
        found.push(Diagnostic::warning("script::idle-fault", at, message).hint(hint));
    }
    for f in desk.faults.iter() {
        if let (Moment::At(begins), Moment::At(clears)) = (&f.begins, &f.clears)
            && clears <= begins
        {
            let at = desk.field_place(&f.place, "clears_at");
            let message = format!("the fault \"{}\" clears at {}, before it begins", f.name, span(clears.0));
            found.push(Diagnostic::warning("script::clears-early", at, message).hint("clear it later"));
        }
    }
    found.extend(desk.faults.iter().filter_map(|f| half_grown(desk, heading, f)));
    found.into_iter().for_each(|d| desk.tell(d));
    idle
}

/// Tells a fault that never has its whole size, since the run or the fault itself ends before.
fn half_grown(desk: &Desk, heading: &Heading, f: &FaultPlan) -> Option<Diagnostic> {
    let over = f.grows.over;
    let begins = match &f.begins {
        Moment::At(t) => t.0,
        _ => 0,
    };
    // How long it acts at most.
    let acts = match &f.clears {
        Moment::At(t) => t.0.min(heading.lasts.0),
        // Written as "lasts": so long after it began.
        Moment::After(_, ticks) => begins.saturating_add(*ticks).min(heading.lasts.0),
        _ => heading.lasts.0,
    }
    .saturating_sub(begins);
    if over == 0 || over <= acts || acts == 0 {
        return None;
    }
    let at = desk.field_place(&f.place, "grows_over");
    let message = format!(
        "the fault \"{}\" never has its whole size: it grows over {}, and acts for {} at most",
        f.name,
        span(over),
        span(acts)
    );
    Some(
        Diagnostic::warning("script::half-grown", at, message).hint("let it grow faster, begin earlier or last longer"),
    )
}

/// The faults among these whose acting a condition asks for.
fn waits_for(desk: &Desk, c: ConditionId, idle: &BTreeSet<String>) -> Vec<String> {
    let kind = &desk.shelf.condition(c).kind;
    if let Kind::Truth(Observable::Fault(name)) = kind
        && idle.contains(name)
    {
        return vec![format!("the fault \"{name}\"")];
    }
    let mut all: Vec<String> = kind.of().into_iter().flat_map(|c| waits_for(desk, c, idle)).collect();
    all.dedup();
    all
}

/// What is wanted of a condition of the sheet.
struct Wanted {
    condition: ConditionId,
    /// The item or fault, and its field; none for what a story waits for.
    of: String,
    field: &'static str,
    place: Place,
    /// It must be able to hold.
    hold: bool,
    /// It must be able to fail.
    fail: bool,
    /// Nothing can come of it when it cannot hold.
    needed: bool,
}

/// Tells conditions that cannot hold, or cannot fail.
fn conditions(desk: &mut Desk, heading: &Heading, idle: &BTreeSet<String>) {
    let mut wanted = Vec::new();
    for item in &desk.items {
        let mut want = |condition: ConditionId, field, hold, fail, needed| {
            let of = format!("\"{}\"", item.name);
            wanted.push(Wanted { condition, of, field, place: item.place.clone(), hold, fail, needed });
        };
        match &item.kind {
            ItemKind::Step { done, .. } => want(*done, "done", true, false, true),
            ItemKind::Limit { keep, during, .. } => {
                want(*keep, "keep", true, true, true);
                if let Some(c) = during {
                    want(*c, "during", true, false, false);
                }
            }
            ItemKind::Response { by, .. } => want(*by, "by", true, false, true),
            ItemKind::Order { wrong, .. } => {
                if let Some(c) = wrong {
                    want(*c, "wrong", true, false, false);
                }
            }
            ItemKind::Steadiness { during, .. } => {
                if let Some(c) = during {
                    want(*c, "during", true, false, false);
                }
            }
            ItemKind::Finding { .. } => {}
        }
    }
    for (i, field, condition) in &desk.asked {
        let Some(f) = desk.faults.get(*i).filter(|_| *field != "lasts") else { continue };
        let of = format!("the fault \"{}\"", f.name);
        let needed = *field != "clears_when";
        // A fault that waits for a fault that never acts has been told.
        let hold = waits_for(desk, *condition, idle).is_empty();
        wanted.push(Wanted { condition: *condition, of, field, place: f.place.clone(), hold, fail: false, needed });
    }
    let mut found = Vec::new();
    for w in &wanted {
        found.extend(judge(desk, heading.lasts, idle, w));
    }
    found.into_iter().for_each(|d| desk.tell(d));
}

/// Tells a condition of a story that cannot hold (or, where it is only asked, cannot fail), as those of the sheet
/// are told. `waits` says that the story does not go on without it.
pub fn of_a_story(desk: &mut Desk, condition: ConditionId, place: &Place, waits: bool, asked: bool) {
    let Some(lasts) = desk.heading.as_ref().map(|(h, _)| h.lasts) else { return };
    let of = (if asked { "what the story asks" } else { "what the story waits for" }).to_owned();
    let wanted = Wanted { condition, of, field: "", place: place.clone(), hold: true, fail: asked, needed: waits };
    if let Some(d) = judge(desk, lasts, &desk.idle, &wanted) {
        desk.tell(d);
    }
}

fn judge(desk: &Desk, lasts: Tick, idle: &BTreeSet<String>, w: &Wanted) -> Option<Diagnostic> {
    if desk.shelf.condition(w.condition).marked {
        return None;
    }
    let ranges = |instruments| Ranges { shelf: &desk.shelf, names: &desk.names, lasts, idle, instruments };
    let tell = |sure: bool, culprit: ConditionId, want: bool| {
        let (at, subject) = match w.field {
            "" => (w.place.clone(), w.of.clone()),
            field => (desk.field_place(&w.place, field), format!("{field} of {}", w.of)),
        };
        let why = because(desk, &ranges(true), culprit, want);
        let what = if want { "can never hold" } else { "can never be broken" };
        let message = format!("{subject} {what}: {why}");
        let hint = match desk.shelf.condition(culprit).kind {
            Kind::All(_) | Kind::NoneOf(_) => "ask for one of them, join them with any(…), or mend a figure",
            Kind::Clock(_) | Kind::Lasting(..) => "ask for less, or let the run last longer",
            _ => "look at the figure, its unit and the instrument",
        };
        if sure && want && w.needed {
            Diagnostic::error("script::never", at, message).hint(hint)
        } else {
            let code = if want { "script::never" } else { "script::always" };
            Diagnostic::warning(code, at, message).hint(hint)
        }
    };
    for sure in [true, false] {
        let ranges = ranges(!sure);
        if let Some(c) = ranges.culprit(w.condition, true).filter(|_| w.hold) {
            return Some(tell(sure, c, true));
        }
        if let Some(c) = ranges.culprit(w.condition, false).filter(|_| w.fail) {
            return Some(tell(sure, c, false));
        }
    }
    None
}

/// Why a condition cannot hold (or fail), in words.
fn because(desk: &Desk, ranges: &Ranges<'_>, c: ConditionId, want: bool) -> String {
    let teller = Teller { shelf: &desk.shelf, names: &desk.names };
    let kind = &desk.shelf.condition(c).kind;
    let value = match kind {
        Kind::Compare(v, ..) | Kind::Between(v, ..) | Kind::Within(v, ..) => Some(desk.shelf.value(*v)),
        _ => None,
    };
    match (value, kind) {
        (Some(v), _) => match ranges.limits(v) {
            Some((low, high)) => {
                let scale = match v.source.seen() {
                    None => "it",
                    Some(Observable::Shown(_)) => "its gauge",
                    Some(Observable::Setting { .. }) => "its dial",
                    Some(Observable::Damage(_)) => return format!("{} is never below nothing", teller.value(v)),
                    _ => "its instrument",
                };
                let (low, high) = (v.unit.tell(low), v.unit.tell(high));
                let so = if want { "is never so" } else { "is always so" };
                format!("\"{}\" {so}, since {scale} goes from {low} to {high}", teller.clause(c))
            }
            None => format!("\"{}\"", teller.clause(c)),
        },
        (None, Kind::Clock(_) | Kind::Lasting(..)) if want => {
            format!("\"{}\" asks for more time than the run lasts, which is {}", teller.clause(c), span(ranges.lasts.0))
        }
        (None, Kind::Truth(Observable::Fault(name))) => format!("the fault \"{name}\" never acts"),
        (None, Kind::All(_) | Kind::NoneOf(_)) if want => {
            format!("its parts contradict each other: {}", teller.clause(c))
        }
        _ => format!("\"{}\"", teller.clause(c)),
    }
}
