//! Makes the logs of the shipped class, and its model run, by playing the exercise: each invented
//! trainee has habits (how quick, what is left out, what is done wrong) and looks at the panel once a
//! second. What comes out are recordings; marks are nobody's business here.
//!
//! `cargo run --release -p faultwright-replay --example make_class -- scenarios/raise-steam`
//!
//! The same program makes the same bytes.

mod plan;
mod roster;
mod trainee;

use files::log::{Header, write};
use replay::record::{Recording, record};
use replay::{Pack, disk};
use std::path::Path;
use std::process::ExitCode;
use trainee::Trainee;

fn main() -> ExitCode {
    let Some(folder) = std::env::args().nth(1) else {
        eprintln!("name the pack's folder");
        return ExitCode::FAILURE;
    };
    match make(Path::new(&folder)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(told) => {
            eprintln!("{told}");
            ExitCode::FAILURE
        }
    }
}

fn make(folder: &Path) -> Result<(), String> {
    let pack = Pack::open(folder).map_err(|t| format!("{t:?}"))?;
    let ready = pack.exercise(None).map_err(|t| format!("{t:?}"))?;
    for (i, person) in roster::roster().into_iter().enumerate() {
        let header = Header {
            trainee: person.id.into(),
            name: Some(person.name.into()),
            start: format!("2031-03-{:02}T08:30:00Z", 3 + i / 6),
            recorder: "faultwright make_class".into(),
            seed: 1000 + i as u64,
            ..Header::default()
        };
        let model = person.id == "model";
        let mut trainee = Trainee::new(person.habits, header.seed);
        let recording = Recording { look_every: 10, saw_every: if model { Some(600) } else { None } };
        let log = record(&pack, ready, &header, recording, &mut |scene| trainee.look(scene))
            .map_err(|all| all.iter().map(|d| format!("{}: {d}", person.id)).collect::<Vec<_>>().join("\n"))?;
        let file =
            if model { folder.join("model.jsonl") } else { folder.join("class").join(format!("{}.jsonl", person.id)) };
        println!("{} {} actions, ends {}", person.id, log.actions.len(), log.end);
        disk::write_whole(&file, &write(&log)).map_err(|t| format!("{t:?}"))?;
    }
    Ok(())
}
