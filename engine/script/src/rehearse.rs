//! Stories tried without a plant, so that a slip in a story is told when the pack is checked and not
//! in the middle of a class.

use crate::{Input, Names, Stories};
use base::observable::Observable;
use base::{Diagnostic, Place, Severity, Tag, Tick};
use session::{Command, Story, View, Wait};
use std::cell::Cell;
use std::collections::BTreeMap;

/// How often a story is woken.
const WAKINGS: usize = 2_000;

/// What may come of figures that no run would have.
const UNSURE: &[&str] = &[
    "script::lua",
    "script::fuel",
    "script::memory",
    "script::recursion",
    "script::long-text",
    "script::long-sort",
    "script::commands",
    "script::time",
    "script::no-value",
];

/// How many ways a story is tried at most: every answer to its first six questions, the last of them kept from there.
const WAYS: u32 = 64;

/// A run in which nothing is known: what the story asks is answered by a row of yes and no. A figure is at the upper end
/// of what it can be for yes and at the lower end for no.
struct Trial<'a> {
    now: Tick,
    met: bool,
    answers: &'a Answers,
    names: &'a Names,
}

/// A row of answers: the first is the lowest bit, and after the last bit it goes on as that one.
struct Answers {
    row: u32,
    given: Cell<u32>,
}

impl Answers {
    fn next(&self) -> bool {
        let i = self.given.get();
        self.given.set(i.saturating_add(1));
        self.row >> i.min(WAYS.ilog2() - 1) & 1 == 1
    }
}

impl Trial<'_> {
    /// The ends of what a value can be, SI.
    fn ends(&self, what: &Observable) -> (f64, f64) {
        const TRUTH: (f64, f64) = (0.0, 1.0);
        let point = |tag: &Tag| self.names.points.get(tag.as_str()).filter(|p| p.words.is_empty());
        match what {
            Observable::Actual(tag) | Observable::Signal(tag) => point(tag).and_then(|p| p.range).unwrap_or(TRUTH),
            Observable::Shown(tag) => point(tag).and_then(|p| p.scale.or(p.range)).unwrap_or(TRUTH),
            Observable::Setting { on, to: None } => {
                let dial = self.names.controls.get(on.as_str()).and_then(|c| c.dial);
                dial.map_or(TRUTH, |d| (d.min, d.max))
            }
            _ => TRUTH,
        }
    }
}

impl View for Trial<'_> {
    fn now(&self) -> Tick {
        self.now
    }

    fn value(&self, what: &Observable) -> Option<f64> {
        let (low, high) = self.ends(what);
        Some(if self.answers.next() { high } else { low })
    }

    fn ever(&self, _: &Observable) -> Option<bool> {
        Some(self.answers.next())
    }

    fn condition_met(&self) -> bool {
        self.met
    }
}

/// Tries each story: with every question answered yes, with every one answered no, and then in other ways, until each
/// of its lines was reached or 64 ways were taken. What stops a story then is told; a limit or an error of Lua as a
/// warning, since the figures were not those of a run. What it waits for and asks is weighed as the conditions of the
/// sheet are. Lines that no way reached are told as well. Each is tried in a state of its own, so that one that fails
/// hides no other.
///
/// # Errors
/// The mistakes of the script itself, as [`crate::author`] tells them.
pub fn rehearse(input: &Input, end: Tick) -> Result<Vec<Diagnostic>, Vec<Diagnostic>> {
    let input = &Input { counted: true, ..input.clone() };
    let mut told: Vec<Diagnostic> = Vec::new();
    let mut story = 0;
    loop {
        let mut reached = BTreeMap::new();
        let mut stopped_once = false;
        let mut file = String::new();
        for row in std::iter::once(WAYS - 1).chain(0..WAYS - 1) {
            let mut stories = Stories::new(input)?;
            if story >= stories.len() {
                return Ok(told);
            }
            stories.are_tried(row % 2 == 1);
            let stopped = try_once(&mut stories, &input.names, story, row, end);
            stopped_once |= stopped.is_some();
            for d in stories.warnings().into_iter().chain(stopped) {
                if !told.contains(&d) {
                    told.push(d);
                }
            }
            file = stories.file(story).to_owned();
            for (line, so) in stories.lines(story) {
                *reached.entry(line).or_insert(false) |= so;
            }
            // One that hit a limit would hit it each time.
            if row != WAYS - 1 && (stopped_once || reached.values().all(|so| *so)) {
                break;
            }
        }
        // Behind what stops a story nothing is reached, and that has been told; the library's own are not the author's.
        if !stopped_once && !file.starts_with("library ") {
            told.extend(unreached(&file, &reached));
        }
        story += 1;
    }
}

/// Tells the lines that no way through a story reached, one for each run of them.
fn unreached(file: &str, reached: &BTreeMap<u32, bool>) -> Vec<Diagnostic> {
    let mut told = vec![];
    let mut before = true;
    for (line, so) in reached {
        if !so && before {
            let message = "no way through the story was found that comes to this line";
            let d = Diagnostic::warning("script::unreached", Place::line(file, *line), message);
            told.push(d.hint("look at what must be so before it; a run that takes this way has never been tried"));
        }
        before = *so;
    }
    told
}

/// Wakes a story at its times until it is done.
fn try_once(stories: &mut Stories, names: &Names, story: usize, row: u32, end: Tick) -> Option<Diagnostic> {
    let answers = Answers { row, given: Cell::new(0) };
    let (mut now, mut met) = (Tick::ZERO, false);
    let mut commands = Vec::new();
    for _ in 0..WAKINGS {
        if now > end {
            return None;
        }
        commands.clear();
        let wait = match stories.wake(
            stories.coroutine(story),
            &Trial { now, met, answers: &answers, names },
            &mut commands,
        ) {
            Ok(wait) => wait,
            Err(f) => {
                let sure = !UNSURE.contains(&f.code);
                let mut d = Diagnostic::error(f.code, f.place, f.message);
                d.hint = f.hint;
                if !sure {
                    d.severity = Severity::Warning;
                    let tried = "this came up when the stories were tried without a plant";
                    d.hint = Some(d.hint.map_or(tried.to_owned(), |hint| format!("{hint}; {tried}")));
                }
                return Some(d);
            }
        };
        if commands.iter().any(|c| matches!(c, Command::End(_))) {
            return None;
        }
        now = match wait {
            Wait::Until(t) => t,
            Wait::For { latest, .. } => {
                met = answers.next();
                // A condition that comes does so at once; one that does not takes all the time it has.
                if met { now + 1 } else { latest? }
            }
            Wait::Done => return None,
        };
    }
    None
}
