//! A ship's state kept as bytes and taken up again: it goes on with the same bits, at any tick.
//!
//! Prepared states are not kept so: they are logs, which still mean something when the program has changed
//! (see [`crate::states`]).

use crate::ship::Ship;
use base::{Diagnostic, Place, Tick};
use files::state_file::{self, Of};
use panel::Panel;
use plant::Plant;

impl Ship {
    /// Plant and panel as they stand after a tick, as the bytes of a file.
    #[must_use]
    pub fn keep(&self, plant: &Plant, panel: &Panel, tick: Tick) -> Vec<u8> {
        state_file::write(&self.stands(tick), &plant.state(), &panel.state())
    }

    /// Plant and panel from the bytes of a file, and the tick after which they stood so.
    ///
    /// # Errors
    /// When the file is none, is damaged, or is of another plant file or another make of the program.
    pub fn take_up(&self, file: &str, bytes: &[u8]) -> Result<(Plant, Panel, Tick), Diagnostic> {
        let (of, kept_plant, kept_panel) = state_file::read(file, bytes)?;
        let here = self.stands(of.tick);
        let refuse = |code, why: String| Diagnostic::error(code, Place::file(file), why);
        if (&of.plant, &of.version) != (&here.plant, &here.version) {
            let why = format!("it is of {} {}, and this is {} {}", of.plant, of.version, here.plant, here.version);
            return Err(refuse("state::plant", why));
        }
        if of.plant_file != here.plant_file {
            let (its, ours) = (of.plant_file.short(), here.plant_file.short());
            let why = format!("the plant file has changed since: its digest was {its} and is {ours}");
            return Err(refuse("state::plant-file", why));
        }
        let misfit = |what: &str, why| refuse("state::misfit", format!("its bytes do not fit the {what}: {why}"));
        let (mut plant, mut panel) = (self.plant.clone(), self.panel.clone());
        plant.restore(kept_plant).map_err(|m| misfit("plant", m))?;
        panel.restore(kept_panel).map_err(|m| misfit("panel", m))?;
        Ok((plant, panel, of.tick))
    }

    fn stands(&self, tick: Tick) -> Of {
        let d = &self.description;
        Of { plant: d.name.clone(), version: d.version.clone(), plant_file: self.digest.clone(), tick }
    }
}
