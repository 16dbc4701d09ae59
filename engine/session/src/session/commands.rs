//! What stories commanded on the tick before, and the faults that are due: the second part of a tick.

use super::Session;
use crate::observe::Names;
use crate::port::{Command, StoryFailure};
use crate::story;
use base::record::{Ending, Happening};

impl Session {
    /// Carries out what was commanded, moves what changes around the plant, and brings faults on and off.
    pub(super) fn commands_and_faults(&mut self) -> Result<(), Ending> {
        let mut commands = std::mem::take(&mut self.commands);
        let mut by_trainee = std::mem::take(&mut self.by_trainee);
        let mut result = Ok(());
        for (command, thanks) in commands.drain(..).zip(by_trainee.drain(..)) {
            if result.is_ok() {
                result = self.command(command, thanks);
            }
        }
        self.commands = commands;
        self.by_trainee = by_trainee;
        result?;
        // Ranges were held when each was commanded.
        self.surroundings.act(&mut self.plant, self.now).map_err(Ending::PlantFailed)?;
        if let Some(led) = &self.led {
            led.lead(&mut self.faults);
        } else {
            for i in 0..self.faults.len() {
                if let Some(acting) = self.faults[i].due(self.now) {
                    let by_trainee = self.faults[i].clears_by_trainee();
                    self.set_fault(i, acting, by_trainee);
                }
            }
            for fault in &mut self.faults {
                fault.presence = fault.comes(self.now);
            }
        }
        // Sizes were checked when the exercise was bound; a plant that still refuses is at fault.
        self.targets.act(&self.faults, &mut self.plant, &mut self.panel).map_err(Ending::PlantFailed)
    }

    fn command(&mut self, command: Command, by_trainee: bool) -> Result<(), Ending> {
        let (name, acting) = match command {
            Command::Inject(name) => (name, true),
            Command::Clear(name) => (name, false),
            Command::Grow { fault, size, over } => return self.grow(&fault, size, over),
            Command::Surround { .. } | Command::Switch { .. } => {
                let changed = self.surroundings.command(&command, &mut self.plant, self.now);
                let changed = changed.map_err(|why| self.story_fails("session::surroundings", why))?;
                self.happened.extend(changed);
                self.note();
                return Ok(());
            }
            Command::Tell(words) => return self.says(Happening::Told(words)),
            Command::Note(words) => return self.says(Happening::Note(words)),
            Command::End(why) => {
                self.ends_by_story.get_or_insert(why);
                return Ok(());
            }
        };
        match self.faults.iter().position(|f| f.name == name) {
            Some(fault) => {
                self.set_fault(fault, acting, by_trainee);
                Ok(())
            }
            None => Err(self.no_such_fault(&name)),
        }
    }

    fn grow(&mut self, name: &str, size: f64, over: u32) -> Result<(), Ending> {
        let Some(fault) = self.faults.iter_mut().find(|f| f.name == name) else {
            return Err(self.no_such_fault(name));
        };
        let grows = fault.grow(size, over, self.now).map_err(|why| self.story_fails("session::grows", why))?;
        self.happened.extend(grows);
        self.note();
        Ok(())
    }

    fn no_such_fault(&mut self, name: &str) -> Ending {
        let names = Names { plant: &self.plant, panel: &self.panel, faults: &self.faults };
        let failure = story::failure(names.unknown_fault(name, &self.place));
        let message = failure.told();
        self.failure = Some(failure);
        Ending::ScriptFailed(message)
    }

    /// A command that cannot be carried out ends the run.
    fn story_fails(&mut self, code: &'static str, message: String) -> Ending {
        let place = self.place.clone();
        self.failure = Some(StoryFailure { code, message: message.clone(), hint: None, place });
        Ending::ScriptFailed(message)
    }

    fn says(&mut self, what: Happening) -> Result<(), Ending> {
        self.happened.push(what);
        self.note();
        Ok(())
    }

    pub(super) fn set_fault(&mut self, fault: usize, acting: bool, by_trainee: bool) {
        self.happened.extend(self.faults[fault].set(acting, by_trainee, self.now));
        self.note();
    }
}
