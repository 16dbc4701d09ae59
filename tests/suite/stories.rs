//! Twelve stories and more, each with something that only a script can do. A story's comments say what the trainee
//! does (`--! do: seconds words`) and all that then happens (`--! happens: time what`): faults on, off and
//! growing, weather and load, what is told and noted, an end by the story.

use super::bench::log_of;
use base::record::{Ending, Happening};
use replay::{Options, Pack, Standing};
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// Longest story, lines.
const LINES: usize = 60;

fn marks(text: &str, mark: &str) -> Vec<String> {
    text.lines().filter_map(|l| l.strip_prefix(mark)).map(|l| l.trim().to_owned()).collect()
}

fn log(actions: &[String]) -> String {
    let header = log_of("t-1").lines().next().unwrap().replace("two-valves", "story").replace("\"bench\"", "\"story\"");
    let mut log = header + "\n";
    for action in actions {
        let (at, words) = action.split_once(' ').unwrap();
        let line = match words.split_once(' ') {
            Some(("operate", rest)) => {
                let (on, to) = rest.split_once(' ').unwrap();
                format!("\"do\":\"operate\",\"on\":\"{on}\",\"to\":\"{to}\"")
            }
            Some(("report", rest)) => {
                let (on, to) = rest.split_once(' ').unwrap();
                format!("\"do\":\"report\",\"on\":\"{on}\",\"to\":\"{to}\"")
            }
            Some(("repair", on)) => format!("\"do\":\"repair\",\"on\":\"{on}\""),
            Some(("local", rest)) => format!("\"do\":\"local check\",\"on\":\"{}\"", rest.trim_start_matches("check ")),
            _ => format!("\"do\":\"{words}\""),
        };
        writeln!(log, "{{\"t\":{at},{line}}}").unwrap();
    }
    log + "{\"t\":300.0,\"do\":\"end\"}\n"
}

/// What happens when a story is played with its actions.
fn played(script: &str) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let (_, plant) = script.split_once("plant = \"").unwrap();
    let plant = plant.split('"').next().unwrap();
    let file = "Pack(format: \"faultwright-pack/1\", id: \"story\", version: \"1.0.0\", title: \"S\", plant: \"valve-bench\", \
                exercises: [(id: \"story\", script: \"story.lua\")])";
    fs::write(folder.path().join("pack.ron"), file.replace("valve-bench", plant)).unwrap();
    fs::write(folder.path().join("story.lua"), script).unwrap();
    let pack = Pack::open(folder.path()).unwrap_or_else(|e| panic!("{e}"));
    assert!(pack.told.is_empty(), "{:?}", pack.told);
    let ready = pack.exercise(None).unwrap();
    let read = replay::logs::read_bytes(&pack, ready, "a.jsonl", log(&marks(script, "--! do:")).as_bytes());
    let options = Options { jobs: 1, stop: Arc::new(AtomicBool::new(false)) };
    let happened = replay::grade(&pack, ready, &[read], &options, &|_, graded| {
        assert!(matches!(graded.standing, Standing::Graded(_)), "{:?}", graded.standing);
        let told = graded.record.events.iter().filter_map(|e| {
            let what = match &e.what {
                Happening::FaultOn { name, .. } => format!("on {name}"),
                Happening::FaultOff { name, .. } => format!("off {name}"),
                Happening::FaultGrows { name, from, to, .. } => format!("{name} grows from {from} to {to}"),
                Happening::Weather { what, from, to, .. } => format!("{what} from {from} to {to}"),
                Happening::Load { on, from, to, .. } => format!("{on} from {from} to {to}"),
                Happening::Told(words) => format!("told {words}"),
                Happening::Note(words) => format!("noted {words}"),
                Happening::Ended(Ending::Story(why)) => format!("ended {why}"),
                _ => return None,
            };
            Some(format!("{} {what}", e.tick))
        });
        told.collect::<Vec<String>>()
    });
    happened.into_iter().next().unwrap().1
}

fn stories() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/stories");
    let mut all: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    all.sort();
    all
}

#[test]
fn twelve_stories_do_what_they_say_and_none_is_long() {
    let all = stories();
    assert!(all.len() >= 12, "{}", all.len());
    let mut wrong = String::new();
    for path in all {
        let script = fs::read_to_string(&path).unwrap();
        assert!(script.lines().count() <= LINES, "{}", path.display());
        let (expected, happened) = (marks(&script, "--! happens:"), played(&script));
        assert!(!happened.is_empty(), "{}: nothing happened", path.display());
        if expected != happened {
            writeln!(wrong, "{}\n  {}", path.display(), happened.join("\n  ")).unwrap();
        }
        assert_eq!(happened, played(&script), "{}: the same again", path.display());
    }
    assert!(wrong.is_empty(), "{wrong}");
}
