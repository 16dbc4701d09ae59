//! A recorded run: what the conditions saw, tick by tick, and the record; and the same changed.

use base::record::{Ending, Event, Happening, Record};
use base::sheet::{ItemKind, Sheet};
use base::{Place, Tick};
use marking::{Language, RunResult, mark};
use monitor::{Comparison, Formula, Found, Predicate, Watch, Watcher};
use replay::{Pack, Ready};
use session::{Action, NoStory, Onlooker, Session, Setup};
use std::fs;
use std::path::Path;
use std::sync::{Arc, LazyLock};

/// The runs that are recorded: one that is good, one with a late answer, one out of order, a hopeless one.
const RUNS: [&str; 4] = ["t-03", "t-11", "t-19", "t-24"];

/// A mark sheet over the training vessel without an absolute time in it: steps that each look at one thing,
/// their order, responses, limits, steadiness and a finding. The faults are those of the shipped exercise.
const SHEET: &str = r#"
local fire = signal("BSH-2001"):is("flame")
step "sea water" { marks = 5, done = shown("PT-1101"):above("1.2 barg") }
step "fresh water" { marks = 5, done = shown("PT-1201"):above("2.5 barg"), after = "sea water" }
step "fuel" { marks = 5, done = shown("PT-1501"):above("8 barg"), out_of_order = 0.25 }
step "glass" { marks = 5, done = did("local check", "LG-2001"), after = "fresh water" }
step "lamps" { marks = 5, done = did("lamp test") }
step "drain" { marks = 5, done = did("local check", "XV-2101"), after = "lamps" }
step "purge" { marks = 5, done = actual("YS-2003"):is("purged"), after = { "glass", "fuel" } }
step "flame" { marks = 5, done = fire, after = { "purge", "drain" }, out_of_order = 0 }
order "in turn" {
  marks = 20, none_at = 5,
  steps = { "sea water", "fresh water", "fuel", "glass", "lamps", "drain", "purge", "flame" },
}
response "reset" { to = "flame lost", marks = 10, by = did("HS-2004", "reset"), full = "3 min", none = "15 min" }
response "valve" {
  to = "feed valve seized", marks = 10, by = did("local check", "LCV-3001"), full = "4 min", none = "16 min",
}
limit "level" {
  marks = 10, keep = actual("LT-2001"):between("-140 mm", "240 mm"), during = fire, none_beyond = "60 mm",
  none_after = "4 min",
}
limit "shell" {
  marks = 10, keep = actual("TDT-2001"):between("-9 K", "9 K"), during = fire:lasting("20 s"):ever(),
  none_beyond = "9 K",
}
steadiness "held" {
  marks = 5, value = actual("LT-2001"), around = "0 mm", full_within = "60 mm", none_beyond = "200 mm", during = fire,
}
finding "found" { marks = 10 }
"#;

/// A run: a column for everything that is watched, and the record.
#[derive(Clone)]
pub struct Trace {
    pub name: &'static str,
    pub columns: Vec<Arc<Vec<f64>>>,
    pub record: Record,
    found: Vec<Found>,
}

/// What was recorded, and the sheet that it is marked by.
pub struct Recorded {
    pub ready: Ready,
    pub traces: Vec<Trace>,
}

/// Played once for all tests of the process.
pub static RECORDED: LazyLock<Recorded> = LazyLock::new(recorded);

fn recorded() -> Recorded {
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/raise-steam");
    let script = fs::read_to_string(shipped.join("raise_steam.lua")).unwrap();
    let (faults, _) = script.split_once("-- What earns marks").unwrap();
    let desk = tempfile::tempdir().unwrap();
    fs::write(desk.path().join("raise_steam.lua"), faults.replace("pass = 60,", "") + SHEET).unwrap();
    let file = fs::read_to_string(shipped.join("pack.ron")).unwrap();
    fs::write(desk.path().join("pack.ron"), file.replace(", model: \"model.jsonl\"", "")).unwrap();
    let mut pack = Pack::open(desk.path()).unwrap_or_else(|e| panic!("{e}"));
    let traces = std::thread::scope(|all| {
        let pack = &pack;
        let shipped = &shipped;
        let play =
            |name| all.spawn(move || play(pack, name, &fs::read(shipped.join(format!("class/{name}.jsonl"))).unwrap()));
        RUNS.map(play).into_iter().map(|t| t.join().unwrap()).collect()
    });
    Recorded { ready: pack.exercises.remove(0), traces }
}

/// Plays a log and keeps what was watched.
pub fn play(pack: &Pack, name: &'static str, log: &[u8]) -> Trace {
    let ready = pack.exercise(None).unwrap();
    let read = replay::logs::read_bytes(pack, ready, &format!("{name}.jsonl"), log);
    let log = read.imported.log.unwrap_or_else(|| panic!("{:?}", read.imported.told));
    let mut session = Session::new(Setup {
        plant: ready.plant.clone(),
        panel: pack.ship.panel.clone(),
        exercise: &ready.exercise,
        watches: &ready.watches,
        seed: log.header.seed,
        prepared: session::start::COLD,
        place: Place::default(),
    })
    .unwrap();
    for a in log.actions {
        session.act(Action { tick: a.tick, verb: a.verb, on: a.on, to: a.to });
    }
    session.log_ends_at(log.end);
    let mut onlooker = Onlooker::new(ready.sheet.items.iter().flat_map(|i| i.kind.faults()).map(ToOwned::to_owned));
    let mut columns: Vec<Vec<f64>> = vec![vec![]; ready.exercise.watched.len()];
    while session.ended().is_none() {
        onlooker.before_tick(&session);
        session.tick(&mut NoStory);
        onlooker.after_tick(&session);
        columns.iter_mut().zip(session.row()).for_each(|(c, x)| c.push(*x));
    }
    let mut finished = session.finish();
    onlooker.tell(&mut finished.record);
    finished.record.channels.clear();
    let columns = columns.into_iter().map(Arc::new).collect();
    Trace { name, columns, record: finished.record, found: finished.found }
}

impl Recorded {
    pub fn sheet(&self) -> &Sheet<Formula> {
        &self.ready.sheet
    }

    /// The marks of a trace. What of its columns is that of the trace it was made from is not looked at again.
    pub fn marks(&self, trace: &Trace, from: &Trace) -> RunResult {
        let of = |(watch, known): (&Watch, &Found)| {
            let mut signals = watch.formula.all_signals();
            signals.extend(watch.during.iter().flat_map(Formula::all_signals));
            let places: Vec<usize> = signals.iter().map(|s| s.0 as usize).collect();
            let same = places.iter().all(|s| Arc::ptr_eq(&trace.columns[*s], &from.columns[*s]));
            if same && trace.record.end == from.record.end { known.clone() } else { trace.watch(watch, &places) }
        };
        let found: Vec<Found> = self.ready.watches.iter().zip(&from.found).map(of).collect();
        self.judge(&found, &trace.record)
    }

    pub fn judge(&self, found: &[Found], record: &Record) -> RunResult {
        let name = |o: &base::observable::Observable| o.to_string();
        let language = Language { watched: &self.ready.exercise.watched, name: &name, unit: &|_| None };
        mark(self.sheet(), found, record, language)
    }

    /// The step's own signal with a value at which it is done, and one at which it is not.
    pub fn step(&self, item: usize) -> Option<(usize, f64, f64)> {
        let ItemKind::Step { done, .. } = &self.sheet().items[item].kind else { return None };
        match done.predicates()[..] {
            [Predicate::Holds { signal }] => Some((signal.0 as usize, 1.0, 0.0)),
            [Predicate::Compare { signal, how: Comparison::Above | Comparison::AtLeast, with }] => {
                Some((signal.0 as usize, with + 1.0, with - 1.0))
            }
            ref other => panic!("a step of the sheet looks at one thing: {other:?}"),
        }
    }

    /// The first tick at which a step is done in a trace.
    pub fn first(&self, trace: &Trace, item: &str) -> Option<usize> {
        let at = self.sheet().items.iter().position(|i| i.name == item).unwrap();
        let (signal, yes, no) = self.step(at).unwrap();
        trace.columns[signal].iter().position(|x| *x > f64::midpoint(yes, no))
    }
}

impl Trace {
    fn watch(&self, watch: &Watch, places: &[usize]) -> Found {
        let mut watcher = Watcher::new(watch);
        let mut row = vec![0.0; self.columns.len()];
        for tick in 0..=self.record.end.0 as usize {
            places.iter().for_each(|s| row[*s] = self.columns[*s][tick]);
            watcher.feed(&row);
        }
        watcher.finish()
    }

    /// The same with one column changed.
    pub fn with(&self, column: usize, change: impl FnOnce(&mut [f64])) -> Trace {
        let mut all = self.clone();
        let column: &mut Vec<f64> = Arc::make_mut(&mut all.columns[column]);
        change(column);
        all
    }

    /// The same cut off after a tick, as a log that breaks off there is.
    pub fn cut(&self, end: Tick) -> Trace {
        let mut all = self.clone();
        all.record.events.retain(|e| e.tick <= end && !matches!(e.what, Happening::Ended(_)));
        all.record.events.push(Event { tick: end, what: Happening::Ended(Ending::LogCutOff) });
        all.record.end = end;
        all.columns.iter_mut().for_each(|c| *c = Arc::new(c[..=end.0 as usize].to_vec()));
        all
    }

    /// The same, begun so much later: the ship lies as she lay at first, and nobody does anything.
    pub fn later(&self, by: u32, moments: &[bool]) -> Trace {
        let mut all = self.clone();
        all.record.events.iter_mut().for_each(|e| e.tick = e.tick + by);
        all.record.end = all.record.end + by;
        for (column, moment) in all.columns.iter_mut().zip(moments) {
            let first = if *moment { 0.0 } else { column[0] };
            *column = Arc::new(vec![first; by as usize].into_iter().chain(column.iter().copied()).collect());
        }
        all
    }
}
