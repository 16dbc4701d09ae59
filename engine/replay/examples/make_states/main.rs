//! Makes the logs of the prepared states of the training vessel: a pair of hands that waits for what it
//! watches, as practice has it, and writes down what it did and when.
//!
//! `cargo run -p faultwright-replay --example make_states -- scenarios/plants/states/training-vessel`

mod board;
mod hands;
mod turbine;

use hands::Hands;
use std::path::PathBuf;
use std::process::ExitCode;

fn main() -> ExitCode {
    let Some(folder) = std::env::args().nth(1).map(PathBuf::from) else {
        eprintln!("say into which folder");
        return ExitCode::from(2);
    };
    let mut h = Hands::cold();
    let mut made = vec![];
    cooling_up(&mut h);
    made.push(("cooling-up", h.log("cooling-up")));
    steam_up(&mut h);
    made.push(("steam-up", h.log("steam-up")));
    h.wait(1.0);
    board::diesel_for_the_shore(&mut h);
    turbine::vacuum(&mut h);
    turbine::warm(&mut h);
    made.push(("turbine-warm", h.log("turbine-warm")));
    h.wait(1.0);
    turbine::run_up(&mut h);
    board::turbine_beside_the_diesel(&mut h);
    made.push(("on-the-board", h.log("on-the-board")));
    for (name, text) in made {
        let path = folder.join(format!("{name}.jsonl"));
        if let Err(why) = std::fs::write(&path, text) {
            eprintln!("{}: {why}", path.display());
            return ExitCode::FAILURE;
        }
        println!("{}", path.display());
    }
    ExitCode::SUCCESS
}

/// Sea water, fresh water on automatic, control air on automatic, diesel oil up to the burner, feed ready.
fn cooling_up(h: &mut Hands) {
    for valve in ["XV-1101", "XV-1106", "XV-1103", "XV-1104"] {
        h.set(valve, "open");
    }
    h.wait(12.0);
    h.set("P-1101", "start");
    h.set("P-1102", "standby");
    for valve in ["XV-1201", "XV-1202", "XV-1211"] {
        h.set(valve, "open");
    }
    h.wait(10.0);
    h.set("P-1201", "start");
    h.set("P-1202", "standby");
    h.set("TIC-1201", "automatic");
    h.wait(5.0);
    h.set("K-1401", "automatic");
    h.until("control air is up", 300.0, |h| h.barg("PT-1401") > 6.0);
    h.set("XV-1501", "open");
    h.wait(3.0);
    h.set("P-1501", "start");
    h.set("XV-3000", "open");
    h.set("XV-3001", "open");
    h.wait(10.0);
    h.set("P-3001", "start");
    h.until("the fresh water is at its temperature", 3600.0, |h| h.celsius("TT-1201") > 34.0);
    h.wait(120.0);
}

/// The drum filled and proved, purged and lit, steam raised at a fifth of full fire, the line warmed through and
/// the small consumer on; firing and level on automatic.
fn steam_up(h: &mut Hands) {
    h.set("HIC-3001", "50 % open");
    h.until("the drum is filled to below normal", 600.0, |h| h.actual("LT-2001") > -0.08);
    h.set("HIC-3001", "0 % open");
    h.set("XV-2001", "open");
    h.set("XV-2101", "open");
    h.wait(60.0);
    h.set("HS-2001", "automatic");
    h.set("HIC-2001", "20 % firing");
    h.set("HS-2002", "start");
    h.until("the main flame is proved", 240.0, |h| h.actual("BSH-2001") > 0.5);
    h.until("steam blows", 5400.0, |h| h.barg("PT-2001") > 1.0);
    h.set("XV-2001", "shut");
    h.until("3 barg", 3600.0, |h| h.barg("PT-2001") > 3.0);
    h.set("LIC-3001", "automatic");
    h.set("XV-2104", "open");
    h.set("XV-2103", "8 % open");
    h.until("5 barg", 3600.0, |h| h.barg("PT-2001") > 5.0);
    h.set("XV-2103", "open");
    h.wait(120.0);
    h.set("XV-2201", "30 % open");
    h.wait(60.0);
    h.set("XV-2101", "shut");
    h.set("XV-2104", "shut");
    h.set("XV-2201", "open");
    h.until("8 barg", 3600.0, |h| h.barg("PT-2001") > 8.0);
    h.set("PIC-2001", "automatic");
    h.set("FCV-2001", "with the firing master");
    h.until("the pressure is at its set point", 5400.0, |h| h.barg("PT-2001") > 15.5);
    h.wait(600.0);
}
