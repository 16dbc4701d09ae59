//! Grading as a whole: the same bytes however often and with however many threads, and what is kept
//! when it is stopped.

use super::bench::{class, desk, files_below, log_of, pack, run};
use replay::{Options, Pack, Standing};
use std::fs;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Twelve logs: the model run with things left out, late or wrong.
fn logs(folder: &std::path::Path) {
    for i in 0..12 {
        let mut text = log_of(&format!("t-{i:02}"));
        if i % 2 == 0 {
            text = text.replace("{\"t\":20.0,\"do\":\"lamp test\"}\n", "");
        }
        if i % 3 == 0 {
            text = text.replace("\"t\":40.0,\"do\":\"report\"", "\"t\":100.0,\"do\":\"report\"");
        }
        if i == 7 {
            text = text.replace("XV-1002", "XV-1003");
        }
        // Readings would part from the replay where the run is another.
        let kept: Vec<&str> = text.lines().filter(|l| !l.contains("\"saw\"")).collect();
        fs::write(folder.join(format!("{i:02}.jsonl")), kept.join("\n") + "\n").unwrap();
    }
}

#[test]
fn the_same_bytes_for_any_number_of_threads_and_on_a_second_run() {
    let desk = desk();
    logs(&desk.path().join("logs"));
    let mut results = vec![];
    for (out, jobs) in [("one", "1"), ("two", "2"), ("five", "5"), ("again", "1")] {
        let said = run(desk.path(), &["grade", "pack", "logs", "--out", out, "--jobs", jobs]);
        assert_eq!(said.code, 2, "{}{}", said.out, said.err);
        let lines: Vec<String> = said.out.lines().take(13).map(ToOwned::to_owned).collect();
        results.push((lines, files_below(&desk.path().join(out))));
    }
    assert_eq!(results[0].1.len(), 4 + 2 * 12);
    for other in &results[1..] {
        assert!(results[0] == *other, "the results differ");
    }
}

#[test]
fn marks_follow_what_was_done() {
    let desk = desk();
    logs(&desk.path().join("logs"));
    run(desk.path(), &["grade", "pack", "logs", "--out", "out"]);
    let people = class(desk.path())["people"].as_array().unwrap().clone();
    // By hand from the mark sheet: 10 in all. Without the lamp test 2 are gone. The inlet valve is
    // ordered open at 5 s and takes 8 s, so it passes 90 % at 12.2 s and the other sticks. That can be
    // seen when its lamp stays dark: the helper is there after 20 s of walking, at 25 s, and it would be
    // open within 12 s more, its switch at 98 % (36.8 s). A report at 100 s comes 63.2 s later, 3.2 s
    // past the 60 s for whole marks of the 60 s down to nothing, which leaves 0.947 of 2 marks: 1.89.
    // Ticks may move that by a hundredth.
    for (i, person) in people.iter().enumerate() {
        if i == 7 {
            assert_eq!(person["outcome"], "not graded");
            continue;
        }
        let marks = person["marks"].as_f64().unwrap();
        let whole = 10.0 - if i % 2 == 0 { 2.0 } else { 0.0 };
        let want = if i % 3 == 0 { whole - 2.0 + 1.89 } else { whole };
        assert!((marks - want).abs() < 0.02, "{i}: {marks} and not {want}");
    }
}

#[test]
fn stopped_work_is_told_as_such_and_what_was_finished_stays() {
    let pack = Pack::open(&pack()).unwrap();
    let ready = pack.exercise(None).unwrap();
    let desk = desk();
    logs(&desk.path().join("logs"));
    let (paths, _) = replay::logs::find(&[desk.path().join("logs")]).unwrap();
    let logs = replay::read_logs(&pack, ready, &paths);
    let stop = Arc::new(AtomicBool::new(false));
    let options = Options { jobs: 1, stop: stop.clone() };
    let results = replay::grade(&pack, ready, &logs, &options, &|i, _| {
        if i == 2 {
            stop.store(true, Ordering::Relaxed);
        }
    });
    let finished = results.iter().filter(|(g, ())| matches!(g.standing, Standing::Graded(_))).count();
    let stopped = results.iter().filter(|(g, ())| g.standing == Standing::Stopped).count();
    // One thread takes the logs in order; log 7 is refused whenever it is looked at.
    assert_eq!((results.len(), finished, stopped), (12, 3, 8));
}
