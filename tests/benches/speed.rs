//! How fast the whole plant runs: an element is a simulated second, so `Kelem/s` are thousands of times real time.
//!
//! The plant has its panel with it: gauges, lamps and alarms follow on every tick, as in a run.
//!
//! `cargo bench --bench speed`. Beside it, in the same run, calls of the steam library, since a ratio to them says
//! more than nanoseconds on a machine that others share. Before anything is timed the script of ten minutes must
//! give the digest that the tests have on record: release and test profile compute the same bits.

// A bench that cannot go on fails by panicking, like the tests whose hands it borrows.
#![allow(clippy::unwrap_used, dead_code, missing_docs)]

#[path = "../suite/plant/board.rs"]
mod board;
#[path = "../suite/plant/hand.rs"]
mod hand;
#[path = "../suite/plant/script.rs"]
mod script;

use criterion::{BatchSize, Criterion, Throughput, criterion_group};
use hand::{Hand, raising, steaming};
use std::hint::black_box;

fn bits_are_those_on_record() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/plant/script.txt");
    let record = std::fs::read_to_string(file).unwrap();
    assert!(script::golden() == record, "this profile computes other bits than the tests have on record");
    println!("the script's digest is the one on record");
}

/// A plant under a hand with its panel before it.
struct Watched {
    h: Hand,
    panel: panel::Panel,
    happened: Vec<base::record::Happening>,
}

impl Watched {
    fn of(h: Hand) -> Watched {
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/plants/training-vessel.ron");
        let text = std::fs::read(file).unwrap();
        let description = files::plant_file::read("training-vessel.ron", &text).unwrap();
        let mut panel = panel::Panel::build(&description, &h.plant).unwrap();
        panel.prime(&h.plant);
        Watched { h, panel, happened: vec![] }
    }

    fn tick(&mut self) {
        self.h.plant.control_pass();
        self.h.plant.step().unwrap();
        self.panel.update(&self.h.plant, base::Tick(self.h.ticks as u32), &mut self.happened);
        self.h.ticks += 1;
        self.happened.clear();
    }
}

fn whole_plant(c: &mut Criterion) {
    bits_are_those_on_record();
    let mut group = c.benchmark_group("whole plant with panel, a simulated second");
    group.throughput(Throughput::Elements(1));
    let mut state = |name: &str, h: Hand| {
        let mut w = Watched::of(h);
        group.bench_function(name, |b| b.iter(|| (0..10).for_each(|_| w.tick())));
    };
    state("cold", Hand::cold());
    state("raising steam", raising());
    state("steaming with two consumers", steaming());
    state("diesel and turbo-generator on the board", board::on_the_board());
    let run = || {
        let mut h = Hand::cold();
        script::play(&mut h, |_| {});
        h
    };
    group.throughput(Throughput::Elements(script::LASTS)).sample_size(10);
    group.bench_function("script of ten minutes, from cold", |b| b.iter(|| black_box(run())));
    group.finish();
}

fn beside(c: &mut Criterion) {
    let mut group = c.benchmark_group("beside");
    let plant = steaming().plant;
    group.bench_function("clone of the plant", |b| b.iter(|| black_box(plant.clone())));
    group.bench_function("four calls of the steam library: v, u of liquid and vapour at 16 bar", |b| {
        let mut t = 200.0;
        b.iter(|| {
            t = if t > 200.9 { 200.0 } else { t + 0.01 };
            for (region, p) in [(1, 2.0), (2, 1.4)] {
                black_box(seuif97::pt(p, t, (seuif97::OV, region)));
                black_box(seuif97::pt(p, t, (seuif97::OU, region)));
            }
        });
    });
    group.bench_function("clone and a simulated minute", |b| {
        b.iter_batched(
            || plant.clone(),
            |mut p| {
                for _ in 0..600 {
                    p.control_pass();
                    p.step().unwrap();
                }
                p
            },
            BatchSize::SmallInput,
        );
    });
    group.finish();
}

/// The folder of the pack that ships, opened, and one of its logs: 85 minutes of a careful trainee.
fn shipped() -> (replay::Pack, Vec<replay::ReadLog>) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/raise-steam");
    let pack = replay::Pack::open(&folder).unwrap();
    let logs = replay::read_logs(&pack, pack.exercise(None).unwrap(), &[folder.join("class/t-02.jsonl")]);
    (pack, logs)
}

fn grade_once(pack: &replay::Pack, logs: &[replay::ReadLog]) -> u32 {
    let options = replay::Options { jobs: 1, stop: std::sync::Arc::default() };
    let ends = replay::grade(pack, pack.exercise(None).unwrap(), logs, &options, &|_, graded| graded.record.end.0);
    ends[0].1
}

/// A log replayed with panel, faults, story and monitors, and graded: elements are simulated seconds. Its
/// memory is that of a process of its own, which does nothing else.
fn graded(c: &mut Criterion) {
    let (pack, logs) = shipped();
    let seconds = u64::from(grade_once(&pack, &logs)) / 10;
    let mut group = c.benchmark_group("a shipped log replayed and graded");
    group.throughput(Throughput::Elements(seconds)).sample_size(10);
    group.bench_function(format!("{} minutes", seconds / 60), |b| b.iter(|| black_box(grade_once(&pack, &logs))));
    group.finish();
    let child = std::process::Command::new(std::env::current_exe().unwrap()).arg("--grade-once").output().unwrap();
    print!("{}", String::from_utf8_lossy(&child.stdout));
}

/// Peak resident memory of this process, as the kernel tells it.
fn peak() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    line.map_or_else(|| "not told on this system".into(), |l| l.trim().to_owned())
}

criterion_group! {
    name = speed;
    config = Criterion::default().configure_from_args().warm_up_time(std::time::Duration::from_secs(1)).measurement_time(std::time::Duration::from_secs(3));
    targets = whole_plant, beside, graded
}

/// Steps a plant; a function by itself so that a profiler can be told to count nothing else.
#[inline(never)]
fn stepped(w: &mut Watched, ticks: u32) {
    for _ in 0..ticks {
        w.tick();
    }
}

/// Time at work of this thread, s, as the kernel tells it: what others do on a shared core is not in it, though they still
/// slow it down by the caches that they share.
fn at_work() -> f64 {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    told.split_whitespace().next().and_then(|ns| ns.parse::<f64>().ok()).map_or(f64::NAN, |ns| ns / 1e9)
}

/// The same of the whole process with threads that have ended, in hundredths of a second.
fn all_at_work() -> f64 {
    let told = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // Behind the name in brackets: user and system time are the twelfth and thirteenth.
    let fields = told.rsplit(')').next().unwrap_or_default().split_whitespace();
    fields.skip(11).take(2).filter_map(|t| t.parse::<f64>().ok()).sum::<f64>() / 100.0
}

/// The states of the plant in one table, each the quickest and the middle one of 11 stretches of 1000 s: the kernel counts in slices of 4 ms.
fn table() {
    bits_are_those_on_record();
    println!("| state | a tick, quickest | middle | times real time |");
    type State = (&'static str, fn() -> Hand);
    let states: [State; 4] = [
        ("cold, nothing running", Hand::cold),
        ("raising steam", raising),
        ("steaming with two consumers", steaming),
        ("diesel and turbo-generator on the board", board::on_the_board),
    ];
    for (name, reach) in states {
        let mut w = Watched::of(reach());
        let mut took: Vec<f64> = (0..11)
            .map(|_| {
                let began = at_work();
                stepped(&mut w, 10_000);
                (at_work() - began) / 10_000.0
            })
            .collect();
        took.sort_by(f64::total_cmp);
        let (best, middle) = (took[0] * 1e6, took[5] * 1e6);
        println!("| {name} | {best:.1} us | {middle:.1} us | {:.0} |", 1e5 / best);
    }
    let (pack, logs) = shipped();
    let began = all_at_work();
    let ticks = grade_once(&pack, &logs);
    let took = all_at_work() - began;
    println!(
        "a log of {} minutes graded in {took:.2} s at work: {:.0} times real time",
        ticks / 600,
        f64::from(ticks) / 10.0 / took
    );
}

/// `--table` prints the table of time at work and ends. `--ticks N` steps the steaming plant N times and ends, for whoever counts instructions: the difference between
/// two counts is free of the way there. `--ticks N cold` and `--ticks N board` do the same with other states.
fn main() {
    let words: Vec<String> = std::env::args().collect();
    if let Some(i) = words.iter().position(|w| w == "--ticks") {
        let ticks: u32 = words[i + 1].parse().unwrap();
        let mut w = Watched::of(match words.get(i + 2).map(String::as_str) {
            Some("cold") => Hand::cold(),
            Some("board") => board::on_the_board(),
            _ => steaming(),
        });
        stepped(&mut w, ticks);
        println!("{ticks} ticks, drum at {:.3} barg", w.h.barg("PT-2001"));
        return;
    }
    if words.iter().any(|w| w == "--table") {
        table();
        return;
    }
    if words.iter().any(|w| w == "--grade-once") {
        let (pack, logs) = shipped();
        let ticks = grade_once(&pack, &logs);
        println!("peak memory of a process that replays and grades {} minutes: {}", ticks / 600, peak());
        return;
    }
    speed();
    Criterion::default().configure_from_args().final_summary();
}
