//! How fast conditions are watched and logs aligned, each told as a ratio to the plain way in the same go.
//!
//! `cargo bench -p faultwright-monitor --bench speed`; with `EACH=1` it tells each formula's cost as well. An element of "monitors" is one sample of one formula. Before
//! anything is timed, the online monitors are held against the definitions over the whole run.

// A bench that cannot go on fails by panicking, like a test.
#![allow(clippy::unwrap_used, missing_docs)]

mod naive;

use base::Tick;
use base::random::Stream;
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use monitor::statistics::{Act, Likeness, alike};
use monitor::{
    Comparison, Edge, Entry, Formula, Interval, Monitor, Order, Summary, Term, Watch, Watcher, align, evaluate,
};
use std::hint::black_box;
use std::time::Instant;

/// Seconds that this thread has been at work, so that a machine shared with others tells no lies; by the wall
/// where the system does not say.
struct Work {
    begun: Instant,
    at_work: Option<f64>,
}

impl Work {
    fn begin() -> Work {
        Work { begun: Instant::now(), at_work: Work::so_far() }
    }

    fn so_far() -> Option<f64> {
        let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
        Some(told.split(' ').next()?.parse::<f64>().ok()? / 1e9)
    }

    fn seconds(&self) -> f64 {
        match (Work::so_far(), self.at_work) {
            (Some(now), Some(then)) => now - then,
            _ => self.begun.elapsed().as_secs_f64(),
        }
    }
}

const SAMPLES: usize = 54_000; // an hour and a half
const SIGNALS: u32 = 12;

/// Slow waves with noise upon them, and every fourth signal a switch.
fn run() -> Vec<Vec<f64>> {
    let mut random = Stream::new(5, "bench");
    let sample = |t: usize, s: u32, noise: f64| {
        let period = 900.0 * f64::from(s + 1);
        let wave = base::maths::sin(t as f64 * std::f64::consts::TAU / period);
        if s % 4 == 3 { f64::from(u8::from(wave + noise > 0.4)) } else { 5.0 + wave + 0.2 * noise }
    };
    (0..SAMPLES).map(|t| (0..SIGNALS).map(|s| sample(t, s, random.unit() - 0.5)).collect()).collect()
}

/// Twenty conditions such as mark sheets hold, with windows from half a second to ten minutes.
fn formulas() -> Vec<Formula> {
    let above = Formula::above;
    let below = Formula::below;
    let boxed = |f: Formula| Box::new(f);
    let w = Interval::within;
    let at_least = |t: Term, x: f64| Formula::measured(t, Comparison::AtLeast, x);
    let at_most = |t: Term, x: f64| Formula::measured(t, Comparison::AtMost, x);
    let signal = Term::signal;
    vec![
        below(0, 5.9),
        Formula::All(vec![above(1, 4.0), below(1, 6.0), Formula::holds(3)]),
        above(2, 5.5).lasted(300),
        Formula::Once(w(6000), boxed(above(4, 5.9))),
        Formula::Once(Interval::ALL, boxed(Formula::All(vec![above(5, 5.5), Formula::holds(7)]))),
        Formula::Historically(w(6000), boxed(below(6, 6.1))),
        Formula::Since(Interval::ALL, boxed(above(8, 4.2)), boxed(Formula::holds(7))),
        Formula::Since(w(3000), boxed(above(9, 4.5)), boxed(below(10, 4.8))),
        Formula::Implies(boxed(Formula::holds(11)), boxed(Formula::Eventually(w(450), boxed(above(0, 5.2))))),
        Formula::Eventually(w(6000), boxed(above(1, 5.8))),
        Formula::Always(Interval { from: 5, to: Some(605) }, boxed(below(2, 5.8))),
        Formula::Until(w(6000), boxed(below(4, 5.9)), boxed(above(5, 5.6))),
        above(6, 5.3).comes_true(),
        Formula::All(vec![Formula::holds(7), Formula::Once(w(1200), boxed(above(8, 5.7)))]),
        at_most(signal(9).over(Summary::Mean, w(3000)), 5.5),
        at_most(signal(10).over(Summary::Slope, w(600)), 0.004),
        at_least(signal(0).over(Summary::Integral, w(6000)), 3000.0),
        at_least(Term::Held(w(6000), boxed(above(1, 5.0))), 240.0),
        at_most(Term::Count(Edge::Rises, w(6000), boxed(Formula::holds(11))), 20.0),
        at_most(signal(2).off(5.0).over(Summary::Greatest, w(1200)), 1.2),
    ]
}

fn monitors(c: &mut Criterion) {
    let (rows, formulas) = (run(), formulas());
    assert_eq!(formulas.len(), 20);
    let elements = (SAMPLES * formulas.len()) as f64;

    let work = Work::begin();
    let plain: Vec<Vec<f64>> = formulas.iter().map(|f| naive::robustness(f, &rows)).collect();
    let naive = work.seconds();
    for (f, plain) in formulas.iter().zip(&plain) {
        let near = |a: f64, b: f64| a == b || (a - b).abs() <= 1e-6 * (1.0 + b.abs());
        let off = evaluate(f, &rows).iter().zip(plain).position(|(v, p)| !near(v.robustness, *p));
        assert_eq!(off, None, "{f:?} is not what the definition says");
    }
    let online = || {
        let mut monitors: Vec<Monitor> = formulas.iter().map(Monitor::new).collect();
        let mut kept = 0u64;
        for row in &rows {
            for m in &mut monitors {
                m.feed(row);
                while let Some(v) = m.next_value() {
                    kept += u64::from(v.robustness > 0.0);
                }
            }
        }
        monitors.iter_mut().for_each(Monitor::finish);
        kept
    };
    // Ten in a row, since the system counts work in steps of some milliseconds.
    let mean_of_ten = |f: &dyn Fn() -> u64| {
        let work = Work::begin();
        for _ in 0..10 {
            black_box(f());
        }
        work.seconds() / 10.0
    };
    let once = mean_of_ten(&online);
    println!("by the definitions {:.1} s, {:.2} million samples x formulas a second", naive, elements / naive / 1e6);
    println!("online {:.3} s, {:.1} million: {:.0} times as fast", once, elements / once / 1e6, naive / once);

    let mut group = c.benchmark_group("monitors");
    group.throughput(Throughput::Elements(elements as u64)).sample_size(10);
    group.bench_function("20 formulas", |b| b.iter(online));
    group.bench_function("20 formulas watched", |b| {
        b.iter(|| {
            let watch = |f: &Formula| Watcher::new(&Watch::whole_run(f.clone()));
            let mut watchers: Vec<Watcher> = formulas.iter().map(watch).collect();
            rows.iter().for_each(|row| watchers.iter_mut().for_each(|w| w.feed(row)));
            watchers.into_iter().map(|w| w.finish().kept.ticks()).sum::<u32>()
        });
    });
    group.finish();
    if std::env::var_os("EACH").is_some() {
        for f in &formulas {
            let alone = mean_of_ten(&|| {
                let mut m = Monitor::new(f);
                let mut values = 0;
                for row in &rows {
                    m.feed(row);
                    while m.next_value().is_some() {
                        values += 1;
                    }
                }
                values
            });
            println!("{:5.1} ns a sample: {f:?}", alone * 1e9 / SAMPLES as f64);
        }
    }
}

/// A procedure of 25 steps with branches that run side by side, and logs with steps left out, swapped and repeated.
fn class(logs: usize) -> (Order, Vec<Vec<Entry>>) {
    let mut random = Stream::new(25, "bench");
    let mut pairs = Vec::new();
    for step in 1..25usize {
        for _ in 0..2 {
            let earlier = random.below(step as u64) as usize;
            if step - earlier < 9 {
                pairs.push((earlier, step));
            }
        }
    }
    let optional: Vec<bool> = (0..25).map(|s| s % 8 == 5).collect();
    let order = Order::new(&optional, &pairs).unwrap();
    let log = |_| {
        let mut steps: Vec<Option<usize>> = order.sequence().iter().map(|s| Some(*s)).collect();
        for _ in 0..6 {
            let at = random.below(steps.len() as u64) as usize;
            match random.below(4) {
                0 => drop(steps.remove(at)),
                1 => steps.insert(at, Some(random.below(25) as usize)),
                2 => steps.insert(at, None),
                _ => {
                    let other = random.below(steps.len() as u64) as usize;
                    steps.swap(at, other);
                }
            }
        }
        let entry = |(t, step): (usize, Option<usize>)| Entry { step, at: Tick(40 * t as u32) };
        steps.into_iter().enumerate().map(entry).collect()
    };
    let logs = (0..logs).map(log).collect();
    (order, logs)
}

/// Least cost by walking all states of the procedure beside the log: the plain way.
fn by_states(order: &Order, entries: &[Entry]) -> u32 {
    use std::collections::BTreeMap;
    let before: Vec<u32> = (0..order.len())
        .map(|s| (0..order.len()).filter(|b| order.comes_before(*b, s)).map(|b| 1 << b).sum())
        .collect();
    let mut layer: BTreeMap<u32, u32> = BTreeMap::from([(0, 0)]);
    for at in 0..=entries.len() {
        let mut open: Vec<u32> = layer.keys().copied().collect();
        // More steps behind is a greater number of bits; each state is spread once, when nothing can lower it.
        let mut by_size: Vec<Vec<u32>> = vec![Vec::new(); order.len() + 1];
        open.drain(..).for_each(|s| by_size[s.count_ones() as usize].push(s));
        for size in 0..order.len() {
            for state in std::mem::take(&mut by_size[size]) {
                let cost = layer[&state];
                for s in (0..order.len()).filter(|&s| state >> s & 1 == 0 && before[s] & !state == 0) {
                    let next = cost + u32::from(!order.is_optional(s));
                    let slot = layer.entry(state | 1 << s).or_insert_with(|| {
                        by_size[size + 1].push(state | 1 << s);
                        u32::MAX
                    });
                    *slot = next.min(*slot);
                }
            }
        }
        let Some(entry) = entries.get(at) else { break };
        let mut next: BTreeMap<u32, u32> = layer.iter().map(|(state, cost)| (*state, cost + 1)).collect();
        if let Some(s) = entry.step {
            for (&state, &cost) in layer.iter().filter(|(b, _)| *b >> s & 1 == 0 && before[s] & !*b == 0) {
                let slot = next.entry(state | 1 << s).or_insert(cost);
                *slot = cost.min(*slot);
            }
        }
        layer = next;
    }
    layer[&((1 << order.len()) - 1)]
}

fn alignments(c: &mut Criterion) {
    let (order, logs) = class(500);
    let work = Work::begin();
    let costs: Vec<u32> = logs.iter().map(|l| align(&order, l).cost).collect();
    let once = work.seconds();
    let few = 3;
    let work = Work::begin();
    for (log, cost) in logs.iter().zip(&costs).take(few) {
        assert_eq!(by_states(&order, log), *cost);
    }
    let plain = work.seconds() / few as f64;
    let mean = f64::from(costs.iter().sum::<u32>()) / costs.len() as f64;
    println!("500 logs aligned to 25 steps in {once:.4} s, mean cost {mean:.1}, a log in {:.1} us", once / 500.0 * 1e6);
    println!("by walking all states {plain:.3} s a log: {:.0} times as long", plain / (once / 500.0));
    let mut group = c.benchmark_group("alignment");
    group.throughput(Throughput::Elements(500));
    group.bench_function("500 logs, 25 steps", |b| b.iter(|| logs.iter().map(|l| align(&order, l).cost).sum::<u32>()));
    // A log of 2,000 entries: what repeated operation of every control makes of it.
    let long: Vec<Entry> = (0..2000u32).map(|t| Entry { step: Some((t * 7 % 25) as usize), at: Tick(t) }).collect();
    group.throughput(Throughput::Elements(1)).sample_size(10);
    group.bench_function("one log of 2,000 entries", |b| b.iter(|| align(&order, &long).cost));
    group.finish();
    // At the bound of what is aligned exactly, in the most awkward form: a long chain, entries without any order.
    let mut random = Stream::new(26, "bench");
    let steps = 400;
    let chain = Order::new(&vec![false; steps], &(1..steps).map(|s| (s - 1, s)).collect::<Vec<_>>()).unwrap();
    let entries = (monitor::alignment::EXACT / steps) as u32;
    let step = |random: &mut Stream| Some(random.below(steps as u64) as usize);
    let entries: Vec<Entry> = (0..entries).map(|t| Entry { step: step(&mut random), at: Tick(t) }).collect();
    let work = Work::begin();
    let aligned = align(&chain, &entries);
    println!("{} entries against {steps} steps: {:.2} s, proven {}", entries.len(), work.seconds(), aligned.proven);
}

/// 500 logs of 120 acts, each against each.
fn likeness(_: &mut Criterion) {
    let mut random = Stream::new(27, "bench");
    let logs: Vec<Vec<Act>> = (0..500)
        .map(|_| {
            let mut at = 0;
            let act = |what: u32| {
                at += random.below(300) as u32;
                Act { what: what % 40, at: Tick(at) }
            };
            (0..120u32).map(act).collect()
        })
        .collect();
    let all = Likeness::default();
    for (name, likeness) in [("times counted", all), ("times left out", Likeness { slack: u32::MAX, ..all })] {
        let work = Work::begin();
        let found = alike(&logs, &likeness).0.len();
        println!("500 logs of 120 acts against each other, {name}: {:.3} s, {found} pairs alike", work.seconds());
    }
}

criterion_group!(benches, monitors, alignments, likeness);
criterion_main!(benches);
