//! What stories cost while they wait: ticks of a run with none, with 50 that wait for a time, and with 50
//! that wait for a condition. `cargo bench --bench stories`.
//!
//! A story that waits for a time must cost nothing to speak of until then; one that waits for a condition
//! costs that condition's monitor, and no Lua. The smallest plant is under them, so that they are seen.

// A bench that cannot go on fails by panicking.
#![allow(clippy::unwrap_used, missing_docs)]

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::fs;

const HEADING: &str = "exercise { title = \"B\", plant = \"valve-bench\", start = \"cold\", lasts = \"100 h\" }\n\
     step \"open\" { marks = 1, done = actual(\"XV-1001\"):above(\"90 % open\") }\n";

fn pack(script: &str) -> (tempfile::TempDir, replay::Pack) {
    let folder = tempfile::tempdir().unwrap();
    let file = "Pack(format: \"faultwright-pack/1\", id: \"b\", version: \"1.0.0\", title: \"B\", plant: \"valve-bench\", \
                exercises: [(id: \"b\", script: \"b.lua\")])";
    fs::write(folder.path().join("pack.ron"), file).unwrap();
    fs::write(folder.path().join("b.lua"), script).unwrap();
    let pack = replay::Pack::open(folder.path()).unwrap_or_else(|e| panic!("{e}"));
    (folder, pack)
}

fn stories(c: &mut Criterion) {
    let mut group = c.benchmark_group("a simulated second of the smallest plant");
    group.throughput(Throughput::Elements(1));
    let fifty = |waits: &str| format!("{HEADING}for i = 1, 50 do\nstory(function(run) {waits} end)\nend\n");
    for (name, script) in [
        ("no story", HEADING.to_owned()),
        ("50 that wait for a time", fifty("run:wait(\"99 h\")")),
        (
            "50 that wait for a condition",
            fifty("run:wait_until(actual(\"XV-1001\"):above((10 + i) .. \" % open\"):lasting(\"5 s\"))"),
        ),
    ] {
        let (_folder, pack) = pack(&script);
        let header = files::log::Header { trainee: "b".into(), ..Default::default() };
        let begun = || replay::Driver::new(&pack, pack.exercise(None).unwrap(), header.clone()).unwrap();
        let mut driver = begun();
        group.bench_function(name, |b| {
            b.iter(|| {
                if driver.ended() {
                    driver = begun();
                }
                for _ in 0..10 {
                    driver.step();
                }
            });
        });
    }
    group.finish();
}

criterion_group! {
    name = waiting;
    config = Criterion::default().configure_from_args().warm_up_time(std::time::Duration::from_secs(1)).measurement_time(std::time::Duration::from_secs(3));
    targets = stories
}
criterion_main!(waiting);
