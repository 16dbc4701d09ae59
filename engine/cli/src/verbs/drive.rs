//! `drive`: an exercise under way, driven from standard input, its log written as it goes.

use crate::clock;
use crate::exit::Exit;
use crate::plain_words::{self, Line};
use crate::told::{self, say};
use base::observable::Verb;
use base::{Diagnostic, Place, Tick, tick::TICKS_PER_SECOND};
use files::class_list::Seat;
use files::log::Header;
use replay::{Driver, Pack, Trouble, disk};
use serde_json::json;
use std::collections::BTreeMap;
use std::fs::{File, OpenOptions};
use std::io::{BufRead, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::time::{Duration, Instant};

/// Arguments of `drive`.
#[derive(Debug, clap::Args)]
#[command(after_help = "\
Lines from standard input, JSON as in a log or plain words:
  operate P-1101 start        operate LCV-3002 35 % open    acknowledge
  lamp test                   local check XV-2104           report XL-2104 the lamp is dead
  wait 30 s                   look                          look PI-2001 BL-2001
  kinds XL-2104               end
  {\"do\":\"operate\",\"on\":\"P-1101\",\"to\":\"start\"}      {\"wait\":30}
  {\"kinds\":[\"XL-2104\"]}
\"look\" tells every gauge, the lamps that are lit and the alarms that stand; with tags, only these.
\"kinds\" tells the words for what may be wrong with these tags, by which a report earns the marks of a
finding; without tags, of everything that can fail.
A line with a time (\"t\") waits for that time of the run first. At \"--speed max\" time passes only while
a line waits, so that the same lines always give the same log.")]
pub(crate) struct Arguments {
    /// Folder of the pack: the one with pack.ron in it.
    pack: PathBuf,
    /// Exercise of the pack, when it has several.
    #[arg(long)]
    exercise: Option<String>,
    /// File for the log; it must not be there yet.
    #[arg(long)]
    log: PathBuf,
    /// How fast plant time passes: "real", a number of times faster, or "max".
    #[arg(long, default_value = "real", value_parser = speed)]
    speed: Speed,
    /// The trainee's id.
    #[arg(long, default_value = "trainee")]
    trainee: String,
    /// The trainee's name, where it may be written down.
    #[arg(long)]
    name: Option<String>,
    /// Seed of the run's chance events; 1 if neither this nor the class list gives one.
    #[arg(long)]
    seed: Option<u64>,
    /// A parameter of the exercise, as its script reads it: --set lamp=XL-2104. May be given several times.
    #[arg(long, value_name = "NAME=VALUE", value_parser = super::check::parameter)]
    set: Vec<(String, String)>,
    /// List of the class, CSV with "trainee", "seed" and parameters: gives this trainee's seed and parameters.
    #[arg(long, value_name = "FILE")]
    class: Option<PathBuf>,
    /// Seconds of the run between two lines of the log that say what the panel showed; 0 for none.
    #[arg(long, default_value_t = 60)]
    saw: u32,
    /// Answer every line with one line of JSON, for another program.
    #[arg(long)]
    json: bool,
}

/// How fast plant time passes.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Speed {
    Times(f64),
    Max,
}

fn speed(text: &str) -> Result<Speed, String> {
    match text {
        "max" => Ok(Speed::Max),
        "real" => Ok(Speed::Times(1.0)),
        _ => match text.parse::<f64>() {
            Ok(x) if x.is_finite() && x > 0.0 => Ok(Speed::Times(x)),
            _ => Err("write \"real\", \"max\" or a number such as 10".to_owned()),
        },
    }
}

struct Desk<'a> {
    driver: Driver<'a>,
    log: File,
    path: &'a Path,
    saw_every: u32,
    json: bool,
    news: Vec<String>,
}

/// Drives an exercise.
pub(crate) fn run(a: &Arguments) -> Result<Exit, Trouble> {
    let pack = Pack::open(&a.pack)?;
    told::diagnostics(&pack.told);
    let ready = pack.exercise(a.exercise.as_deref())?;
    let seat = match &a.class {
        Some(file) => disk::seat(file, a.trainee.trim())?,
        None => Seat { trainee: a.trainee.trim().to_owned(), seed: 1, parameters: BTreeMap::new() },
    };
    let mut parameters = seat.parameters;
    parameters.extend(a.set.iter().cloned());
    let header = Header {
        trainee: a.trainee.trim().to_owned(),
        name: a.name.clone(),
        start: clock::now(),
        recorder: concat!("faultwright drive ", env!("CARGO_PKG_VERSION")).to_owned(),
        seed: a.seed.unwrap_or(seat.seed),
        parameters,
        ..Header::default()
    };
    let driver = Driver::new(&pack, ready, header)?;
    let mut desk = Desk {
        driver,
        log: create(&a.log)?,
        path: &a.log,
        saw_every: a.saw.saturating_mul(TICKS_PER_SECOND),
        json: a.json,
        news: vec![],
    };
    desk.write(&desk.driver.header_line())?;
    if !a.json {
        say(&ready.exercise.title);
        say(&ready.exercise.brief);
    }
    match a.speed {
        Speed::Max => at_most(&mut desk)?,
        Speed::Times(times) => in_time(&mut desk, times)?,
    }
    if !desk.driver.ended() {
        // What was done last belongs to the tick that comes next.
        desk.step()?;
        desk.tell();
    }
    desk.write(&desk.driver.end_line())?;
    desk.log.sync_all().map_err(|why| desk.machine(why))?;
    if !a.json {
        say(&format!("log: {}", a.log.display()));
    }
    // Whoever reads the log sees that it cannot be graded; whoever started this sees why.
    match desk.driver.failure() {
        Some(why) => {
            told::diagnostics(&[why]);
            Ok(Exit::SomeNotGraded)
        }
        None => Ok(Exit::Good),
    }
}

/// Time passes only while a line waits.
fn at_most(desk: &mut Desk<'_>) -> Result<(), Trouble> {
    for line in std::io::stdin().lock().lines() {
        let Some(line) = understood(desk, line) else { continue };
        let until = due(desk, &line);
        while desk.driver.now() < until && !desk.driver.ended() {
            desk.step()?;
        }
        if desk.carry_out(line)? || desk.driver.ended() {
            break;
        }
    }
    Ok(())
}

/// Time passes with the wall clock, `times` as fast; lines are taken as they come, each after the wait
/// of the one before.
fn in_time(desk: &mut Desk<'_>, times: f64) -> Result<(), Trouble> {
    let lines = lines_from_a_thread();
    let begin = Instant::now();
    let tick = 1.0 / (f64::from(TICKS_PER_SECOND) * times);
    let mut next: Option<Line> = None;
    let mut until = Tick::ZERO;
    while !desk.driver.ended() {
        if desk.driver.now() >= until
            && let Some(line) = next.take()
            && desk.carry_out(line)?
        {
            return Ok(());
        }
        let moment = begin + Duration::from_secs_f64(f64::from(desk.driver.now().0) * tick);
        let left = moment.saturating_duration_since(Instant::now());
        if next.is_some() {
            std::thread::sleep(left);
        } else {
            match lines.recv_timeout(left) {
                Ok(line) => {
                    if let Some(line) = understood(desk, line) {
                        until = due(desk, &line);
                        next = Some(line);
                    }
                    continue;
                }
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => return Ok(()),
            }
        }
        desk.step()?;
        if !desk.news.is_empty() {
            desk.tell();
        }
    }
    Ok(())
}

fn lines_from_a_thread() -> Receiver<std::io::Result<String>> {
    let (sender, receiver) = mpsc::channel();
    std::thread::spawn(move || {
        for line in std::io::stdin().lock().lines() {
            if sender.send(line).is_err() {
                break;
            }
        }
    });
    receiver
}

/// The tick before which a line must not be carried out.
fn due(desk: &Desk<'_>, line: &Line) -> Tick {
    match line {
        Line::Wait(ticks) => desk.driver.now().after(*ticks),
        Line::Act { at: Some(at), .. } | Line::End { at: Some(at) } => *at,
        _ => desk.driver.now(),
    }
}

/// A line, understood; what is wrong with it is told and it is passed over.
fn understood(desk: &Desk<'_>, line: std::io::Result<String>) -> Option<Line> {
    let read = match line {
        Ok(text) => plain_words::read(&text, &|t| desk.driver.has(t)),
        Err(e) => Err(format!("the line cannot be read: {e}")),
    };
    match read {
        Ok(Line::Nothing) => None,
        Ok(line) => Some(line),
        Err(why) => {
            desk.refuse(&why);
            None
        }
    }
}

impl Desk<'_> {
    /// Carries out a line; true when it ends the recording.
    fn carry_out(&mut self, line: Line) -> Result<bool, Trouble> {
        match line {
            Line::End { .. } => return Ok(true),
            Line::Look(tags) if !self.json => {
                let only: Vec<&str> = tags.iter().map(String::as_str).collect();
                self.driver.look(&only).iter().for_each(|l| say(l));
            }
            Line::Act { verb, on, to, .. } => match self.driver.act(verb, on.as_deref(), to.as_deref()) {
                Ok(text) => {
                    self.write(&text)?;
                    // A report changes nothing that could be seen, so that whoever made it is told.
                    if verb == Verb::Report && !self.json {
                        let words = to.as_deref().map_or("no words".to_owned(), |w| format!("\"{w}\""));
                        say(&format!(
                            "{}  reported {}: {words}",
                            self.driver.now(),
                            on.as_deref().unwrap_or("something")
                        ));
                    }
                }
                Err(r) => {
                    let hint = r.hint.map(|h| format!("; {h}")).unwrap_or_default();
                    self.refuse(&format!("{}{hint}", r.message));
                    return Ok(false);
                }
            },
            Line::Kinds(tags) => {
                let only: Vec<&str> = tags.iter().map(String::as_str).collect();
                match self.driver.kinds(&only) {
                    Ok(kinds) if self.json => {
                        say(&json!({"t": self.driver.now().seconds(), "kinds": kinds}).to_string());
                    }
                    Ok(kinds) => kinds.iter().for_each(|(on, words)| say(&kinds_line(on, words))),
                    Err(why) => self.refuse(&why),
                }
                return Ok(false);
            }
            Line::Wait(_) | Line::Look(_) | Line::Nothing => {}
        }
        self.tell();
        Ok(false)
    }

    fn step(&mut self) -> Result<(), Trouble> {
        if self.saw_every > 0 && self.driver.now().0.is_multiple_of(self.saw_every) {
            let line = self.driver.saw_line();
            self.write(&line)?;
        }
        self.driver.step();
        let news = self.driver.news();
        self.news.extend(news);
        Ok(())
    }

    /// Tells what is new. A program gets a line for every line of its own, with all readings.
    fn tell(&mut self) {
        let news = std::mem::take(&mut self.news);
        if self.json {
            let mut line = json!({
                "t": self.driver.now().seconds(), "shown": self.driver.readings(), "news": news,
                "ended": self.driver.ended(),
            });
            if let Some(why) = self.driver.failure() {
                line["failed"] = json!(why.to_string());
            }
            say(&line.to_string());
        } else {
            news.iter().for_each(|l| say(l));
        }
    }

    fn refuse(&self, why: &str) {
        if self.json {
            say(&json!({"t": self.driver.now().seconds(), "refused": why}).to_string());
        } else {
            say(&format!("not done: {why}"));
        }
    }

    /// Writes a line of the log, at once.
    fn write(&self, line: &str) -> Result<(), Trouble> {
        let mut log = &self.log;
        log.write_all(line.as_bytes()).and_then(|()| log.flush()).map_err(|why| self.machine(why))
    }

    fn machine(&self, why: std::io::Error) -> Trouble {
        Trouble::Machine { path: self.path.to_owned(), doing: "write", why }
    }
}

/// "XL-2104: dark, stuck lit".
fn kinds_line(on: &str, words: &[&str]) -> String {
    match words {
        [] => format!("{on}: nothing that a fault can be set on"),
        words => format!("{on}: {}", words.join(", ")),
    }
}

/// A new file: a recording is never written over another.
fn create(path: &Path) -> Result<File, Trouble> {
    OpenOptions::new().write(true).create_new(true).open(path).map_err(|why| {
        if why.kind() == ErrorKind::AlreadyExists {
            let place = Place::file(&path.to_string_lossy());
            Diagnostic::error("drive::log", place, "there is a file of this name already")
                .hint("name a new file; a recording is never written over another")
                .into()
        } else {
            Trouble::Machine { path: path.to_owned(), doing: "write", why }
        }
    })
}
