//! What can be so and is hardly meant: orders that say another thing than their steps, times past the end of the run, a
//! fault that clears when the helper is asked and not when the helper is there.

use crate::condition::Kind;
use crate::desk::{Desk, Heading};
use crate::teller::span;
use base::observable::{Observable, Verb};
use base::sheet::{ItemKind, before, stand_for_each_other};
use base::{Diagnostic, Place};

/// Tells all of it as warnings.
pub fn check(desk: &mut Desk, heading: &Heading) {
    let mut found = orders(desk);
    found.extend(past_the_end(desk, heading));
    found.extend(cleared_by_asking(desk));
    found.into_iter().for_each(|d| desk.tell(d));
}

/// Orders whose list goes against their steps, or has a step that nothing puts in its place.
fn orders(desk: &Desk) -> Vec<Diagnostic> {
    let mut found = vec![];
    for item in &desk.items {
        let ItemKind::Order { steps, .. } = &item.kind else { continue };
        let places: Vec<usize> = steps.iter().filter_map(|s| desk.items.iter().position(|i| i.name == *s)).collect();
        // What may stand in a step's place comes where that comes.
        let comes_before = |one: usize, other: usize| {
            let earlier = before(&desk.items, other);
            earlier.iter().any(|e| stand_for_each_other(&desk.items, *e, one))
        };
        let name = |at: usize| desk.items[at].name.as_str();
        let at = || desk.field_place(&item.place, "steps");
        for (i, &place) in places.iter().enumerate() {
            let step = name(place);
            if let Some(later) = places[i + 1..].iter().find(|later| comes_before(**later, place)) {
                let message =
                    format!("\"{step}\" stands in front of \"{}\" here, and comes after it by its after", name(*later));
                let d = Diagnostic::warning("script::order", at(), message);
                found.push(d.hint("the order is that of after; list the steps so, or change after"));
            }
            let tied = places.iter().any(|p| comes_before(*p, place) || comes_before(place, *p));
            if !tied {
                let message = format!("nothing says where in the order \"{step}\" comes");
                let d = Diagnostic::warning("script::order", at(), message);
                found
                    .push(d.hint("give it an after, or another step one that names it; without, it may come anywhere"));
            }
        }
    }
    found
}

/// Times for whole marks that the run does not reach: being late then costs nothing.
fn past_the_end(desk: &Desk, heading: &Heading) -> Vec<Diagnostic> {
    let lasts = heading.lasts.0;
    let late = |item: &base::sheet::Item<_>, field: &str, ticks: u32| {
        let what = format!("{field} of \"{}\" is {}", item.name, span(ticks));
        let message = format!("{what}, and the run lasts {}: being late costs nothing", span(lasts));
        let at = desk.field_place(&item.place, field);
        Diagnostic::warning("script::past-the-end", at, message).hint("set an earlier time, or let the run last longer")
    };
    let told = desk.items.iter().filter_map(|item| match &item.kind {
        ItemKind::Step { full_by: Some(t), .. } if t.0 > lasts => Some(late(item, "full_by", t.0)),
        ItemKind::Response { full, .. } if *full > lasts => Some(late(item, "full", *full)),
        _ => None,
    });
    told.collect()
}

/// Faults that clear in the moment in which the helper is asked to repair them.
fn cleared_by_asking(desk: &Desk) -> Vec<Diagnostic> {
    let asked = desk.asked.iter().filter(|(_, field, _)| *field == "clears_when");
    let told = asked.filter_map(|(i, field, c)| {
        let fault = desk.faults.get(*i)?;
        let Kind::Truth(Observable::Did { verb: Verb::Repair, on, .. }) = &desk.shelf.condition(*c).kind else {
            return None;
        };
        (on.is_none() || on.as_ref() == Some(&fault.on)).then(|| {
            let at: Place = desk.field_place(&fault.place, field);
            let message = format!(
                "the fault \"{}\" clears when the helper is asked to repair it, so the helper comes and finds nothing",
                fault.name
            );
            Diagnostic::warning("script::cleared-by-asking", at, message)
                .hint("write repaired_in = \"2 min\": how long the helper works at it")
        })
    });
    told.collect()
}
