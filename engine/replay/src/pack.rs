//! A pack opened: its files read, its plant assembled, its exercises bound and ready to run.

use crate::disk::{self, Trouble};
use crate::ship::Ship;
use crate::{run, states, telling};
use base::sheet::Sheet;
use base::{Diagnostic, Place, Severity};
use files::{Digest, digest};
use monitor::{Formula, Watch};
use plant::Plant;
use session::Exercise;
use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Most bytes of one file of a pack.
pub const FILE_BYTES_MAX: usize = 4 << 20;
/// Most bytes of all files that a pack names.
pub const PACK_BYTES_MAX: usize = 64 << 20;

/// A pack, ready to be graded with.
#[derive(Debug)]
pub struct Pack {
    /// Its folder.
    pub folder: PathBuf,
    /// What its `pack.ron` says.
    pub file: files::Pack,
    /// The files that it names, by their paths in it.
    pub contents: BTreeMap<String, Vec<u8>>,
    /// The plant of its exercises.
    pub ship: Ship,
    /// Its exercises in the order of `pack.ron`.
    pub exercises: Vec<Ready>,
    /// Warnings and notes of its scripts.
    pub told: Vec<Diagnostic>,
    /// Digest of the files that it names.
    pub digest: Digest,
    /// Digest of the program: its version, the plant's file and the script library.
    pub program: Digest,
}

/// An exercise, ready to run.
#[derive(Debug)]
pub struct Ready {
    /// Short name by which logs speak of it.
    pub id: String,
    /// The exercise as data.
    pub exercise: Exercise,
    /// Its mark sheet.
    pub sheet: Sheet<Formula>,
    /// What is watched for the marks.
    pub watches: Vec<Watch>,
    /// The script's texts, for the story of each run.
    pub sources: telling::Sources,
    /// The seed and the parameters that it was read with.
    pub own: telling::Own,
    /// The plant in the state that it starts from.
    pub plant: Plant,
    /// Where it was written.
    pub place: Place,
}

impl Ready {
    /// The exercise as one run has it: the script read with the run's seed and parameters, since chance
    /// and parameters may change faults and figures. The mark sheet must stay the same.
    ///
    /// # Errors
    /// Mistakes of the script with these parameters; a mark sheet with other items or other marks.
    pub fn of_run(&self, ship: &Ship, own: telling::Own) -> Result<Ready, Vec<Diagnostic>> {
        let (ready, _) = write(self.sources.clone(), ship, &own)?.bind(self.id.clone(), ship, own)?;
        let items = |r: &Ready| r.sheet.items.iter().map(|i| (i.name.clone(), i.marks, i.critical)).collect::<Vec<_>>();
        if items(&ready) == items(self) && ready.sheet.pass == self.sheet.pass {
            return Ok(ready);
        }
        let (now, usual) = (items(&ready), items(self));
        let place = now.iter().zip(&usual).position(|(a, b)| a != b).unwrap_or(now.len().min(usual.len()));
        let place = ready.sheet.items.get(place).map_or(self.place.clone(), |i| i.place.clone());
        Err(vec![
            Diagnostic::error(
                "run::other-sheet",
                place,
                format!(
                    "with seed {} the mark sheet has other items or other marks, so that runs could not be compared",
                    ready.own.seed
                ),
            )
            .hint("let chance and parameters choose faults and figures, and keep names and marks of all items"),
        ])
    }
}

impl Pack {
    /// Opens a pack: every mistake in any of its files is told, as far as the files could be read.
    ///
    /// # Errors
    /// What is wrong with it, or the machine's trouble.
    pub fn open(folder: &Path) -> Result<Pack, Trouble> {
        Pack::open_by_names(folder).map_err(|t| match t {
            Trouble::Mistakes(all) => Trouble::Mistakes(all.into_iter().map(|d| on_disk(folder, d)).collect()),
            machine => machine,
        })
    }

    /// Opens a pack whose files go by their names in it, as they do in results: a debrief must not
    /// tell where the instructor's folders lie.
    fn open_by_names(folder: &Path) -> Result<Pack, Trouble> {
        let (file, contents, place, unrecorded) = read_files(folder)?;
        let mut ship = Ship::named(&file.plant, &place)?;
        ship.bring_states(states::of_pack(&file, &contents));
        let mut wrong = vec![];
        let mut told = unrecorded;
        let mut exercises = vec![];
        let own = telling::Own::default();
        let written: Vec<Result<Written, Vec<Diagnostic>>> = file
            .exercises
            .iter()
            .map(|e| write(telling::sources(&file, &contents, e).map_err(|d| vec![d])?, &ship, &own))
            .collect();
        let starts = file.exercises.iter().zip(&written);
        let starts = starts.filter_map(|(e, w)| Some((e.id.clone(), w.as_ref().ok()?.exercise.start.clone())));
        told.extend(ship.begin_states(&file.id, &starts.collect()));
        for (e, written) in file.exercises.iter().zip(written) {
            match written.and_then(|w| w.bind(e.id.clone(), &ship, own.clone())) {
                Ok((ready, notes)) => {
                    told.extend(notes);
                    exercises.push(ready);
                }
                Err(all) => wrong.extend(all),
            }
        }
        if wrong.iter().any(|d| d.severity == Severity::Error) {
            wrong.extend(told);
            return Err(wrong.into());
        }
        let digest = digest::named(&contents);
        let program = program(&ship);
        Ok(Pack { folder: folder.to_owned(), file, contents, ship, exercises, told, digest, program })
    }

    /// The exercise to grade or drive: the one that was asked for, or the only one.
    ///
    /// # Errors
    /// When there is no such exercise, or several and none was asked for.
    pub fn exercise(&self, id: Option<&str>) -> Result<&Ready, Trouble> {
        let known = || self.exercises.iter().map(|e| e.id.as_str());
        let place = Place::file(&shown(&self.folder.join(files::pack::FILE)));
        match id {
            Some(id) => self.exercises.iter().find(|e| e.id == id).ok_or_else(|| {
                Diagnostic::error("pack::exercise", place, format!("the pack has no exercise \"{id}\""))
                    .hint(format!("its exercises: {}", known().collect::<Vec<_>>().join(", ")))
                    .nearest(id, known())
                    .into()
            }),
            None => match &self.exercises[..] {
                [only] => Ok(only),
                _ => Err(Diagnostic::error("pack::exercise", place, "the pack has several exercises")
                    .hint(format!("say which with --exercise: {}", known().collect::<Vec<_>>().join(", ")))
                    .into()),
            },
        }
    }
}

/// A diagnostic of a file of the pack, at the path that people can open.
#[must_use]
pub fn on_disk(folder: &Path, mut d: Diagnostic) -> Diagnostic {
    let mut path = if d.place.file.is_empty() { folder.to_owned() } else { folder.join(&d.place.file) };
    // A module goes by the name by which scripts ask for it.
    let module = folder.join(d.place.file.replace('.', "/") + ".lua");
    if !path.exists() && module.exists() {
        path = module;
    }
    if d.place.file.is_empty() || path.exists() {
        if d.place.line > 0
            && d.place.column == 0
            && let Ok(bytes) = disk::read_capped(&path, FILE_BYTES_MAX)
        {
            let text = String::from_utf8_lossy(&bytes);
            let line = text.lines().nth(d.place.line as usize - 1).unwrap_or_default();
            d.place.column = column_of(line, &d.message);
        }
        d.place.file = shown(&path);
    }
    d
}

/// The column of what a message is about, when a word that it quotes stands in the line once; 0 otherwise.
fn column_of(line: &str, message: &str) -> u32 {
    let quoted = message.split('"').skip(1).step_by(2).filter(|word| !word.trim().is_empty());
    for word in quoted {
        let mut found = line.match_indices(word);
        if let (Some((at, _)), None) = (found.next(), found.next()) {
            return line[..at].chars().count() as u32 + 1;
        }
    }
    0
}

/// A path as people named it.
#[must_use]
pub fn shown(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

/// Files of a pack by their paths in it.
type Contents = BTreeMap<String, Vec<u8>>;

/// `pack.ron` and every file that it names. A model run that is not there yet is no mistake, since it is recorded with
/// the pack that names it; it is told.
fn read_files(folder: &Path) -> Result<(files::Pack, Contents, Place, Vec<Diagnostic>), Trouble> {
    let path = folder.join(files::pack::FILE);
    let place = Place::file(files::pack::FILE);
    let bytes = match disk::read_capped(&path, FILE_BYTES_MAX) {
        Ok(bytes) => bytes,
        Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory | ErrorKind::IsADirectory) => {
            let d = if folder.is_dir() {
                Diagnostic::error("pack::missing", Place::file(""), "the folder has no pack.ron")
                    .hint("name the folder of a pack: the one with pack.ron in it")
            } else if folder.is_file() {
                Diagnostic::error("pack::missing", Place::file(""), "this is a file, and a pack is a folder")
                    .hint("name the folder that it lies in, with pack.ron in it")
            } else {
                Diagnostic::error("pack::missing", Place::file(""), "there is no such folder")
            };
            return Err(d.into());
        }
        Err(why) => return Err(Trouble::Machine { path, doing: "read", why }),
    };
    let file = files::pack::read(&place.file, &bytes)?;
    let text = String::from_utf8_lossy(&bytes).into_owned();
    let mut contents = BTreeMap::from([(files::pack::FILE.to_owned(), bytes)]);
    let mut wrong = vec![];
    let mut unrecorded = vec![];
    let mut total = 0;
    let models = file.exercises.iter().filter_map(|e| e.model.as_ref());
    let states = file.states.iter().map(|s| &s.log);
    for name in file.exercises.iter().map(|e| &e.script).chain(&file.modules).chain(models).chain(states) {
        let line = files::pack::line_of(&text, name);
        match disk::read_inside(folder, name, FILE_BYTES_MAX, &Place::line(&place.file, line)) {
            Ok(bytes) => {
                total += bytes.len();
                contents.insert(name.clone(), bytes);
            }
            Err(Trouble::Mistakes(all))
                if is_model(&file, name) && files::pack::inside(name).is_ok() && !folder.join(name).exists() =>
            {
                unrecorded.extend(all.into_iter().map(|d| not_recorded(folder, name, d)));
            }
            Err(Trouble::Mistakes(all)) => wrong.extend(all),
            Err(machine) => return Err(machine),
        }
        if total > PACK_BYTES_MAX {
            let message = format!("the files of the pack have more than {PACK_BYTES_MAX} bytes together");
            return Err(Diagnostic::error("pack::file", place, message).into());
        }
    }
    if wrong.is_empty() { Ok((file, contents, place, unrecorded)) } else { Err(wrong.into()) }
}

fn is_model(file: &files::Pack, name: &str) -> bool {
    file.exercises.iter().any(|e| e.model.as_deref() == Some(name))
}

/// A model run that the pack names and that is not there.
fn not_recorded(folder: &Path, name: &str, lost: Diagnostic) -> Diagnostic {
    let message = format!("the model run \"{name}\" is not there yet, so it is not graded");
    let how = format!("record it: faultwright drive {0} --log {0}/{name} --trainee model", shown(folder));
    let hint = lost.hint.map_or(how.clone(), |near| format!("{near}; or {how}"));
    Diagnostic::warning("pack::no-model", lost.place, message).hint(hint)
}

/// What a script wrote, not bound to a plant yet.
struct Written {
    sources: telling::Sources,
    exercise: Exercise,
    sheet: Sheet<Formula>,
    told: Vec<Diagnostic>,
}

/// Reads a script.
fn write(sources: telling::Sources, ship: &Ship, own: &telling::Own) -> Result<Written, Vec<Diagnostic>> {
    let (exercise, sheet, told) = telling::read(&sources, ship, own)?;
    Ok(Written { sources, exercise, sheet, told })
}

impl Written {
    /// Binds it to the plant in the state that it starts from.
    fn bind(self, id: String, ship: &Ship, own: telling::Own) -> Result<(Ready, Vec<Diagnostic>), Vec<Diagnostic>> {
        let Written { sources, exercise, sheet, told } = self;
        let place = Place::file(&sources.main.0);
        let watches = marking::watches(&sheet);
        let plant = ship.state(&exercise.start.state, &place)?;
        let ready = Ready { id, exercise, sheet, watches, sources, own, plant, place };
        // Binding finds names and sizes that only plant and panel can judge.
        match run::session(&ready, ship) {
            Ok(_) => Ok((ready, told)),
            Err(mut wrong) => {
                wrong.extend(told);
                Err(wrong)
            }
        }
    }
}

fn program(ship: &Ship) -> Digest {
    let parts = BTreeMap::from([
        ("version".to_owned(), env!("CARGO_PKG_VERSION").as_bytes().to_vec()),
        ("plant".to_owned(), ship.digest.as_str().as_bytes().to_vec()),
    ]);
    digest::named(&parts)
}
