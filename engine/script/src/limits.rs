//! The limits a script runs under, all of them counts, and the meter that decides whether one was
//! hit. The meter's own flag decides, never what the script returned: a script can swallow an error.

use base::{Diagnostic, Place};
use std::cell::{Cell, RefCell};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Steps of work (calls and rounds of loops) while an exercise is read.
pub const FUEL_READING: u64 = 5_000_000;
/// Steps of work each time a story wakes.
pub const FUEL_WAKING: u64 = 2_000_000;
/// Steps of work of all wakings of a run together.
pub const FUEL_RUN: u64 = 20_000_000;
/// Memory of one script, bytes.
pub const MEMORY: usize = 8 << 20;
/// Memory above this is charged on every step, so that no step over huge texts is cheap: joining or
/// comparing them is one step of the virtual machine however long they are.
pub const MEMORY_FREE: usize = 1 << 20;
/// Longest text that the string functions take or make, bytes.
pub const TEXT: usize = 64 << 10;
/// Longest list that `table.sort` takes.
pub const SORT: usize = 4_096;
/// Longest script file, bytes.
pub const SOURCE: usize = 256 << 10;
/// Most script files of a pack.
pub const FILES: usize = 64;
/// Lines that `print` keeps.
pub const PRINTED_LINES: usize = 1_000;
/// Bytes of one line that `print` keeps.
pub const PRINTED_BYTES: usize = 1_000;
/// Conditions and values that one script may make.
pub const CONDITIONS: usize = 20_000;
/// Parts of one condition.
pub const CONDITION_PARTS: u32 = 2_000;
/// How deep the formula of a condition may be nested: what every thread's stack holds.
pub const CONDITION_DEPTH: u32 = monitor::Formula::DEEPEST as u32;
/// Faults, items and stories of one exercise, each.
pub const ITEMS: usize = 500;
/// Commands of a story each time it wakes.
pub const COMMANDS: usize = 100;
/// Mistakes told at once.
pub const MISTAKES: usize = 50;

/// A limit of the list above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Work.
    Fuel,
    /// Memory.
    Memory,
    /// Functions that call each other too deeply.
    Recursion,
    /// A text that is too long.
    Text,
    /// A list that is too long to sort.
    Sort,
    /// Too many conditions.
    Conditions,
    /// Too many items.
    Items,
    /// Too many commands at once.
    Commands,
    /// Too many mistakes to go on.
    Mistakes,
    /// Whoever started the run asked it to stop.
    Stopped,
}

impl Limit {
    /// The stable code of hitting it.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Limit::Fuel => "script::fuel",
            Limit::Memory => "script::memory",
            Limit::Recursion => "script::recursion",
            Limit::Text => "script::long-text",
            Limit::Sort => "script::long-sort",
            Limit::Conditions => "script::conditions",
            Limit::Items => "script::items",
            Limit::Commands => "script::commands",
            Limit::Mistakes => "script::many-mistakes",
            Limit::Stopped => "script::stopped",
        }
    }

    /// What happened, with the cap, and what to do.
    #[must_use]
    pub fn told(self, cap: u64) -> (String, &'static str) {
        match self {
            Limit::Fuel => (
                format!("the script went on past its limit of {cap} steps of work"),
                "look for a loop that never ends; a story waits with run:wait or run:wait_until",
            ),
            Limit::Memory => (
                format!(
                    "the script used too much memory: at most {} MB, and only briefly more than {} MB",
                    MEMORY >> 20,
                    MEMORY_FREE >> 20
                ),
                "look for a table or a text that grows in a loop",
            ),
            Limit::Recursion => (
                "functions of the script call each other too deeply".to_owned(),
                "look for a function that calls itself without an end",
            ),
            Limit::Text => (
                format!("a text is longer than the limit of {} kB", TEXT >> 10),
                "look for a text that grows in a loop",
            ),
            Limit::Sort => (format!("a list to be sorted is longer than the limit of {SORT}"), "sort a shorter list"),
            Limit::Conditions => (
                format!(
                    "the script made too many conditions: at most {CONDITIONS}, one of at most \
                     {CONDITION_PARTS} parts, nested no deeper than {CONDITION_DEPTH} levels"
                ),
                "make a condition once and use it again, and look for a loop that builds them",
            ),
            Limit::Items => (
                format!("an exercise has at most {ITEMS} faults, {ITEMS} items and {ITEMS} stories"),
                "look for a loop that writes them",
            ),
            Limit::Commands => {
                (format!("a story gave more than {COMMANDS} commands at one moment"), "look for a loop without a wait")
            }
            Limit::Mistakes => {
                (format!("more than {MISTAKES} mistakes; the rest are not told"), "mend these first and check again")
            }
            Limit::Stopped => ("the run was stopped from outside".to_owned(), "run it again"),
        }
    }
}

/// Counts the work of one script and remembers the first limit that it hit.
#[derive(Debug, Default)]
pub struct Meter {
    used: Cell<u64>,
    cap: Cell<u64>,
    total: Cell<u64>,
    hit: RefCell<Option<(Limit, Place)>>,
    /// Memory in use before the script began, and at the step before.
    memory: Cell<(usize, usize)>,
    /// How much of the work was for memory.
    for_memory: Cell<u64>,
    /// Where the script was when it last held much memory.
    last: RefCell<Place>,
    stop: Option<Arc<AtomicBool>>,
}

impl Meter {
    /// A meter with this much fuel. `stop` lets whoever runs the script end it from outside.
    #[must_use]
    pub fn new(cap: u64, stop: Option<Arc<AtomicBool>>) -> Meter {
        Meter { cap: Cell::new(cap), stop, ..Meter::default() }
    }

    /// Starts counting again with this cap; what was used goes to the total.
    pub fn refuel(&self, cap: u64) {
        self.total.set(self.total.get() + self.used.get());
        self.used.set(0);
        self.for_memory.set(0);
        self.cap.set(cap);
    }

    /// Takes the memory in use now as that of the state itself.
    pub fn begin_memory(&self, used: usize) {
        self.memory.set((used, used));
    }

    /// Adds the work of one step with this much memory in use. The first answer is true when the
    /// script may not go on, the second when it holds so much that its place should be kept.
    pub fn step(&self, used: usize) -> (bool, bool) {
        let (base, before) = self.memory.get();
        self.memory.set((base, used));
        let held = used.saturating_sub(base + MEMORY_FREE) as u64;
        let changed = used.abs_diff(before) as u64;
        let for_memory = held / 8192 + if changed > 65_536 { changed / 1024 } else { 0 };
        self.for_memory.set(self.for_memory.get() + for_memory);
        (self.charge(1 + for_memory), held > 0)
    }

    /// The limit that running out of fuel means: memory, when most of the work was for that.
    #[must_use]
    pub fn spent(&self) -> Limit {
        if self.for_memory.get() > self.used.get() / 2 { Limit::Memory } else { Limit::Fuel }
    }

    /// Keeps the place of a step.
    pub fn keep_place(&self, place: Place) {
        self.last.replace(place);
    }

    /// The place that was kept last.
    #[must_use]
    pub fn kept_place(&self) -> Place {
        self.last.borrow().clone()
    }

    /// Work of the whole run so far, this waking included.
    #[must_use]
    pub fn total(&self) -> u64 {
        self.total.get() + self.used.get()
    }

    /// Adds work. True when the script may not go on.
    pub fn charge(&self, work: u64) -> bool {
        self.used.set(self.used.get().saturating_add(work));
        self.is_hit() || self.used.get() > self.cap.get()
    }

    /// Whether somebody outside asked the script to stop.
    #[must_use]
    pub fn asked_to_stop(&self) -> bool {
        self.stop.as_ref().is_some_and(|s| s.load(Ordering::Relaxed))
    }

    /// Remembers a limit, unless one was hit before.
    pub fn hit(&self, limit: Limit, place: Place) {
        let mut hit = self.hit.borrow_mut();
        if hit.is_none() {
            *hit = Some((limit, place));
        }
    }

    /// Whether a limit was hit.
    #[must_use]
    pub fn is_hit(&self) -> bool {
        self.hit.borrow().is_some()
    }

    /// The limit that was hit, and where.
    #[must_use]
    pub fn limit(&self) -> Option<(Limit, Place)> {
        self.hit.borrow().clone()
    }

    /// The limit that was hit, as a diagnostic.
    #[must_use]
    pub fn diagnostic(&self) -> Option<Diagnostic> {
        self.limit().map(|(limit, place)| {
            let (message, hint) = limit.told(self.cap.get());
            Diagnostic::error(limit.code(), place, message).hint(hint)
        })
    }
}
