//! The run as a story: every event and every moment that decided an item, in order, in words.

use crate::page::Page;
use crate::words;
use base::Tick;
use base::observable::Verb;
use base::record::{AlarmPhase, Ending, Happening};
use marking::{Outcome, Verdict};
use std::collections::BTreeSet;

/// What a moment that is marked on the charts is about; each has a shape of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// A fault began or ended.
    Fault,
    /// Something tripped, was reset or was hurt.
    Trip,
    /// An item of the mark sheet was decided.
    Item,
}

/// One line of the story.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// When.
    pub tick: Tick,
    /// What kind of thing, in a word or two.
    pub what: &'static str,
    /// What happened.
    pub words: String,
    /// Whether the short story tells it.
    pub short: bool,
    /// Its shape on the charts, when it is marked there.
    pub mark: Option<Mark>,
    /// Its number on the charts.
    pub number: Option<usize>,
}

/// The whole story in order of time; what is marked on the charts is numbered from 1.
pub fn tell(page: &Page) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut seen = BTreeSet::new();
    for event in &page.record.events {
        let (what, words, short, mark) = event_words(&event.what, &mut seen);
        lines.push(Line { tick: event.tick, what, words, short, mark, number: None });
    }
    if let Some(result) = page.judged.result() {
        lines.extend(result.verdicts.iter().filter_map(verdict_line));
    }
    // Stable: what happened on one tick stays in the order of the record, verdicts after it.
    lines.sort_by_key(|l| l.tick);
    let marked = lines.iter_mut().filter(|l| l.mark.is_some());
    for (i, line) in marked.enumerate() {
        line.number = Some(i + 1);
    }
    lines
}

/// An item's moment. Marked on the charts when marks were lost or a fault was answered.
fn verdict_line(v: &Verdict) -> Option<Line> {
    if v.outcome == Outcome::NotAssessed {
        return None;
    }
    let (word, ..) = words::outcome(v.outcome);
    let mark = (v.outcome != Outcome::Full || v.kind == "response").then_some(Mark::Item);
    Some(Line {
        tick: v.when?,
        what: "Marks",
        words: format!("{}: {word}, {} of {}", v.name, v.earned, v.out_of),
        short: mark.is_some(),
        mark,
        number: None,
    })
}

type Told = (&'static str, String, bool, Option<Mark>);

fn event_words(what: &Happening, seen: &mut BTreeSet<String>) -> Told {
    match what {
        Happening::Action { verb, on, to, refused } => {
            let on = on.as_ref().map(|t| t.as_str());
            let did = action_words(*verb, on, to.as_deref());
            match refused {
                None => ("Action", did, false, None),
                Some(why) => ("Not possible", format!("{did}: {why}"), false, None),
            }
        }
        Happening::Helper { on, says } => ("Helper", format!("{on}: {says}"), true, None),
        Happening::Alarm { tag, text, phase } => match phase {
            AlarmPhase::Raised => {
                let first = seen.insert(format!("alarm {tag}"));
                ("Alarm", format!("{text} ({tag})"), first, None)
            }
            AlarmPhase::Acknowledged => ("Alarm seen", format!("{text} ({tag}) acknowledged"), false, None),
            AlarmPhase::Cleared => ("Alarm over", format!("{text} ({tag})"), false, None),
        },
        Happening::Trip { tag, cause, first } => {
            let words = if *first {
                format!("{tag}: {cause}, the first cause")
            } else {
                format!("{tag}: {cause}, after another cause")
            };
            ("Trip", words, true, Some(Mark::Trip))
        }
        Happening::Reset { tag } => ("Reset", format!("{tag} reset by hand"), true, Some(Mark::Trip)),
        Happening::FaultOn { name, on, kind, layer, comes } => {
            let words = format!("{name}: {on} {kind}, {}; {}", words::acts(*layer), words::comes(comes));
            ("Fault", words, true, Some(Mark::Fault))
        }
        Happening::FaultGrows { name, from, to, over } => {
            let words = format!("{name}: from {from} to {to}, {}", words::in_time(*over));
            ("Fault grows", words, true, None)
        }
        Happening::FaultOff { name, .. } => ("Fault over", name.clone(), true, Some(Mark::Fault)),
        Happening::FaultSeen { name, on, shown, otherwise } => {
            let words =
                format!("{name} could be seen from here on: {on} showed {shown}, and {otherwise} without the fault");
            ("Fault seen", words, true, None)
        }
        Happening::FaultUnseen { name } => {
            ("Fault unseen", format!("nothing on the panel showed the fault \"{name}\""), true, None)
        }
        Happening::Damage { on, what, total } => {
            // Damage grows on many ticks; the charts mark where it began.
            let first = seen.insert(format!("damage {on} {what}"));
            let words = format!("{on}: {what} ({} % of its life so far)", words::number(total * 100.0, 0));
            ("Damage", words, first, first.then_some(Mark::Trip))
        }
        Happening::Plant { on, says } => ("Plant", format!("{on}: {says}"), false, None),
        Happening::Weather { what, from, to, over } => {
            ("Weather", format!("{what}: from {from} to {to}, {}", words::in_time(*over)), true, None)
        }
        Happening::Load { on, name, from, to, over } => {
            ("Ship's load", format!("{name} ({on}): from {from} to {to}, {}", words::in_time(*over)), true, None)
        }
        Happening::Told(text) => ("Told", text.clone(), true, None),
        Happening::Note(text) => ("Note", text.clone(), true, None),
        Happening::Differed { tag, since, shown, actual, .. } => {
            let words = format!("{tag} had shown {shown} where {actual} was true, since {}", words::clock(*since));
            ("Difference", words, false, None)
        }
        Happening::Ended(ending) => ("End", ending_words(ending), true, None),
    }
}

fn action_words(verb: Verb, on: Option<&str>, to: Option<&str>) -> String {
    match (verb, on, to) {
        (Verb::Operate, Some(on), Some(to)) => format!("{on} to {to}"),
        (Verb::Operate, Some(on), None) => format!("{on} operated"),
        (Verb::Operate, None, _) => "operated something that the log does not name".to_owned(),
        (Verb::Acknowledge, Some(on), _) => format!("acknowledged {on}"),
        (Verb::Acknowledge, None, _) => "acknowledged all alarms".to_owned(),
        (Verb::LampTest, ..) => "lamp test".to_owned(),
        (Verb::LocalCheck, Some(on), _) => format!("sent the helper to look at {on}"),
        (Verb::LocalCheck, None, _) => "sent the helper to look".to_owned(),
        (Verb::Repair, Some(on), _) => format!("sent the helper to repair {on}"),
        (Verb::Repair, None, _) => "sent the helper to repair something".to_owned(),
        (Verb::Report, on, to) => {
            let about = on.map(|on| format!(" about {on}")).unwrap_or_default();
            format!("reported{about}: \u{201c}{}\u{201d}", to.unwrap_or("nothing"))
        }
    }
}

fn ending_words(ending: &Ending) -> String {
    match ending {
        Ending::TimeUp => "the time of the exercise was up".to_owned(),
        Ending::LogEnded => "the log came to its end".to_owned(),
        Ending::LogCutOff => {
            "the log breaks off here without an end line; what was still open then is not assessed".to_owned()
        }
        Ending::Drifted(why) => {
            format!("{why}; from here on this is not the run that was recorded, and it is not assessed")
        }
        Ending::Story(why) => format!("the exercise ended the run: {why}"),
        Ending::ScriptFailed(why) => format!("the exercise's script failed: {why}"),
        Ending::PlantFailed(why) => format!("the plant's equations failed: {why}"),
    }
}
