//! Makes the model runs of the shipped packs about turbine and switchboard: a plan that looks at the panel, waits
//! for what it shows, and acts as practice has it. What comes out are recordings of the exercises, faults and all.
//!
//! `cargo run --release -p faultwright-replay --example make_models -- scenarios`
//!
//! The same program makes the same bytes.

mod blackout;
mod board;
mod cold;
mod plan;

use files::log::{Header, write};
use plan::Plan;
use replay::record::{Recording, record};
use replay::{Pack, disk};
use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1);
    let Some(folder) = words.next() else {
        eprintln!("name the folder of the packs, and a pack if only one is to be made");
        return ExitCode::from(2);
    };
    let only = words.next();
    let packs = [("turbine-on-the-board", cold::plan()), ("blackout", blackout::plan())];
    for (name, plan) in packs.into_iter().filter(|(name, _)| only.as_deref().is_none_or(|o| o == *name)) {
        if let Err(told) = make(&Path::new(&folder).join(name), plan) {
            eprintln!("{name}: {told}");
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}

fn make(folder: &Path, mut plan: Plan) -> Result<(), String> {
    let pack = Pack::open(folder).map_err(|t| format!("{t}"))?;
    let ready = pack.exercise(None).map_err(|t| format!("{t:?}"))?;
    let header = Header {
        trainee: "model".into(),
        name: Some("Model run".into()),
        start: "2031-03-03T08:30:00Z".into(),
        recorder: "faultwright make_models".into(),
        seed: 1,
        ..Header::default()
    };
    // Every tick, since a breaker does not wait for a whole second; what is shown is kept every five minutes.
    let recording = Recording { look_every: 1, saw_every: Some(3000) };
    let log = record(&pack, ready, &header, recording, &mut |scene| plan.look(scene))
        .map_err(|all| all.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))?;
    println!("{}: {} actions, ends {}, {} tasks left", folder.display(), log.actions.len(), log.end, plan.left());
    disk::write_whole(&folder.join("model.jsonl"), &write(&log)).map_err(|t| format!("{t:?}"))
}
