//! How fast the whole plant runs: an element is a simulated second, so `Kelem/s` are thousands of times real time.
//!
//! `cargo bench --bench speed`. Beside it, in the same run, calls of the steam library, since a ratio to them says
//! more than nanoseconds on a machine that others share. Before anything is timed the script of ten minutes must
//! give the digest that the tests have on record: release and test profile compute the same bits.

// A bench that cannot go on fails by panicking, like the tests whose hands it borrows.
#![allow(clippy::unwrap_used, dead_code, missing_docs)]

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

fn whole_plant(c: &mut Criterion) {
    bits_are_those_on_record();
    let mut group = c.benchmark_group("whole plant, a simulated second");
    group.throughput(Throughput::Elements(1));
    let mut state = |name: &str, mut h: Hand| {
        group.bench_function(name, |b| {
            b.iter(|| {
                for _ in 0..10 {
                    h.plant.control_pass();
                    h.plant.step().unwrap();
                }
            });
        });
    };
    state("cold", Hand::cold());
    state("raising steam", raising());
    state("steaming with two consumers", steaming());
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

criterion_group! {
    name = speed;
    config = Criterion::default().configure_from_args().warm_up_time(std::time::Duration::from_secs(1)).measurement_time(std::time::Duration::from_secs(3));
    targets = whole_plant, beside
}

/// `--ticks N` steps the steaming plant N times and ends, for whoever counts instructions: the difference between
/// two counts is free of the way there.
fn main() {
    let words: Vec<String> = std::env::args().collect();
    if let Some(i) = words.iter().position(|w| w == "--ticks") {
        let ticks: u32 = words[i + 1].parse().unwrap();
        let mut h = steaming();
        for _ in 0..ticks {
            h.plant.control_pass();
            h.plant.step().unwrap();
        }
        println!("{ticks} ticks, drum at {:.3} barg", h.barg("PT-2001"));
        return;
    }
    speed();
    Criterion::default().configure_from_args().final_summary();
}
