//! The Lua host: a fresh state for each run, with nothing in it but what an exercise may use.

use crate::desk::Desk;
use crate::handle::Handle;
use crate::limits::{self, Limit, Meter};
use crate::teller::Teller;
use crate::words::{On, WORDS};
use crate::{Input, calls, failure, guard, modules};
use base::{Diagnostic, Place};
use mlua::{Function, Lua, LuaOptions, MultiValue, StdLib, Table, Value};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// A state with its desk.
pub struct Host {
    /// The state.
    pub lua: Lua,
    /// What the script writes.
    pub desk: Rc<RefCell<Desk>>,
    /// The limits.
    pub meter: Rc<Meter>,
    /// The functions that stories were given as.
    pub stories: Table,
    /// The object that a story gets.
    pub run: Table,
    /// Tells the guard which coroutine is the story's.
    pub enter: Function,
    environment: Table,
}

/// What the state keeps at hand.
#[derive(Clone)]
pub struct Shared {
    /// What the script writes.
    pub desk: Rc<RefCell<Desk>>,
    /// The methods of values and conditions, by kind and name.
    pub methods: Table,
    /// Which lines run is counted.
    pub counted: bool,
}

impl Host {
    /// A fresh state for this input.
    ///
    /// # Errors
    /// When the state cannot be set up; that is a fault of the program and told as such.
    pub fn new(input: &Input, fuel: u64) -> mlua::Result<Host> {
        let libraries = StdLib::TABLE | StdLib::STRING | StdLib::MATH | StdLib::COROUTINE;
        let lua = Lua::new_with(libraries, LuaOptions::new())?;
        let meter = Rc::new(Meter::new(fuel, input.stop.clone()));
        let texts: BTreeMap<String, String> = input.sources.files().collect();
        let desk = Desk::new(input.names.clone(), Arc::new(texts), meter.clone(), input.seed);
        let desk = Rc::new(RefCell::new(desk));

        let guarded = guard::install(&lua, &meter, input.seed)?;
        let names: Table = guarded.get("names")?;
        let methods = lua.create_table()?;
        lua.set_app_data(Shared { desk: desk.clone(), methods: methods.clone(), counted: input.counted });
        let stories = lua.create_table()?;
        let asks: Function = guarded.get("asks")?;
        for word in WORDS {
            let function = lua.create_function(move |lua, args: MultiValue| calls::call(lua, word, args))?;
            match word.on {
                On::Script if word.name == "story" => {
                    names.set(word.name, story_word(&lua, function, &stories)?)?;
                }
                On::Script => names.set(word.name, function)?,
                On::Value => methods.set(format!("value {}", word.name), function)?,
                On::Condition => methods.set(format!("condition {}", word.name), function)?,
                On::Run => asks.call::<()>((word.name, function))?,
            }
        }
        names.set("parameters", parameters(&lua, input)?)?;
        let run: Table = guarded.get("methods")?;
        let unknown = lua.create_function(|lua, (_, key): (Value, Value)| {
            calls::unknown_method(lua, On::Run, &key);
            Ok(Handle::Marked)
        })?;
        close(&lua, &run, &unknown)?;

        let base = names.clone();
        let unknown = lua.create_function(|lua, (_, key): (Value, Value)| {
            calls::unknown_name(lua, &key);
            Ok(Handle::Marked)
        })?;
        let meta = lua.create_table()?;
        meta.set("__index", unknown)?;
        base.set_metatable(Some(meta))?;
        let host = Host { run, enter: guarded.get("enter")?, environment: base, lua, desk, meter, stories };
        modules::install_require(&host.lua, &host.environment, input)?;
        host.environment.set_readonly(true);
        host.lua.sandbox(true)?;
        guard::interrupt(&host.lua, &host.meter);
        // The limit counts what the script adds: the state itself is there before it.
        let used = host.lua.used_memory();
        host.meter.begin_memory(used);
        host.lua.set_memory_limit(used + limits::MEMORY)?;
        Ok(host)
    }

    /// Runs the main script. What goes wrong is told on the desk.
    pub fn run_main(&self, input: &Input) {
        let (file, text) = &input.sources.main;
        if let Err(d) = failure::check_sizes(&input.sources) {
            self.desk.borrow_mut().told.push(d);
            return;
        }
        let mut readable = true;
        let mut read = Vec::new();
        for (file, text) in input.sources.files() {
            match modules::chunk(&self.lua, &self.environment, &file, &text) {
                Ok(_) => read.push((file, text)),
                Err(error) => {
                    self.tell_failure(&error);
                    readable = false;
                }
            }
        }
        let found = input.sources.looked.check(read);
        if readable && !found.reads_any {
            for name in input.parameters.keys().filter(|name| !found.parameters.contains(*name)) {
                let message = format!("the exercise has no parameter \"{name}\"");
                let d = Diagnostic::error("script::unknown-parameter", Place::file(file), message);
                let known: Vec<&str> = found.parameters.iter().map(String::as_str).collect();
                let d = if known.is_empty() { d } else { d.hint(format!("its parameters: {}", known.join(", "))) };
                self.desk.borrow_mut().tell(d.nearest(name, known));
            }
        }
        self.desk.borrow_mut().take_found(found);
        if !readable || self.meter.is_hit() {
            return;
        }
        let result = modules::chunk(&self.lua, &self.environment, file, text).and_then(|f| f.call::<()>(()));
        if let Err(error) = result {
            self.tell_failure(&error);
        } else {
            self.tell_limit();
        }
    }

    /// Tells the limit that was hit, if one was. The meter's flag decides.
    fn tell_limit(&self) -> bool {
        let hit = self.meter.diagnostic();
        if let Some(d) = &hit {
            self.desk.borrow_mut().told.push(d.clone());
        }
        hit.is_some()
    }

    /// Tells a failure: the limit that was hit, or else what Lua says.
    fn tell_failure(&self, error: &mlua::Error) {
        self.desk.borrow_mut().broke_off = true;
        if !self.tell_limit() {
            let d = self.diagnose(error);
            let mut desk = self.desk.borrow_mut();
            // What the text gave away of this line is why it failed.
            if !(d.code == "script::lua" && desk.trapped.contains(&(d.place.file.clone(), d.place.line))) {
                desk.told.push(d);
            }
        }
    }

    /// What a failure of Lua means.
    #[must_use]
    pub fn diagnose(&self, error: &mlua::Error) -> Diagnostic {
        let desk = self.desk.borrow();
        let mut d = failure::diagnose(error, &desk.texts);
        if d.place == Place::default() {
            // Running out of memory leaves no trace; the last step that held much is the nearest.
            d.place = self.meter.kept_place();
        }
        d
    }
}

fn close(lua: &Lua, table: &Table, unknown: &Function) -> mlua::Result<()> {
    let meta = lua.create_table()?;
    meta.set("__index", unknown)?;
    table.set_metatable(Some(meta))?;
    table.set_readonly(true);
    Ok(())
}

fn parameters(lua: &Lua, input: &Input) -> mlua::Result<Table> {
    let table = lua.create_table()?;
    for (name, value) in &input.parameters {
        match value {
            crate::Parameter::Text(t) => table.set(name.as_str(), t.as_str())?,
            crate::Parameter::Number(n) => table.set(name.as_str(), *n)?,
            crate::Parameter::Truth(b) => table.set(name.as_str(), *b)?,
        }
    }
    table.set_readonly(true);
    Ok(table)
}

/// `story` keeps the function that it is given.
fn story_word(lua: &Lua, check: Function, stories: &Table) -> mlua::Result<Function> {
    let stories = stories.clone();
    lua.create_function(move |_, tells: Value| {
        check.call::<()>(tells.clone())?;
        match tells {
            Value::Function(f) => stories.push(f),
            _ => Ok(()),
        }
    })
}

/// The place in the pack's own files that called: the nearest frame of one of them.
#[must_use]
pub fn place(lua: &Lua) -> Place {
    let Ok(shared) = shared(lua) else {
        return Place::default();
    };
    let texts = match shared.desk.try_borrow() {
        Ok(desk) => desk.texts.clone(),
        Err(_) => return Place::default(),
    };
    place_in(lua, &texts)
}

/// As [`place`], in these files.
#[must_use]
pub fn place_in(lua: &Lua, texts: &BTreeMap<String, String>) -> Place {
    for level in 0..64 {
        let frame = lua.inspect_stack(level, |frame| {
            let source = frame.source().source.map(|s| s.into_owned()).unwrap_or_default();
            let file = source.strip_prefix('=').unwrap_or(&source).to_owned();
            (file, frame.current_line().unwrap_or_default())
        });
        match frame {
            Some((file, line)) if texts.contains_key(&file) => {
                return Place::line(&file, line as u32);
            }
            Some(_) => {}
            None => break,
        }
    }
    Place::default()
}

/// A condition or value in words.
#[must_use]
pub fn tell_handle(lua: &Lua, handle: Handle) -> String {
    let Ok(shared) = shared(lua) else {
        return String::new();
    };
    let desk = shared.desk.borrow();
    let teller = Teller { shelf: &desk.shelf, names: &desk.names };
    match handle {
        Handle::Condition(c) => teller.clause(c),
        Handle::Value(v) => teller.value(desk.shelf.value(v)),
        Handle::Marked => "?".to_owned(),
    }
}

/// Does something with the desk of a state.
pub fn with_desk(lua: &Lua, f: impl FnOnce(&mut Desk)) {
    if let Ok(shared) = shared(lua) {
        f(&mut shared.desk.borrow_mut());
    }
}

/// What the state keeps at hand.
///
/// # Errors
/// When the state was not made by [`Host::new`].
pub fn shared(lua: &Lua) -> mlua::Result<Shared> {
    let shared = lua.app_data_ref::<Shared>().map(|s| s.clone());
    shared.ok_or_else(|| mlua::Error::runtime("the state has no desk"))
}

/// Marks a limit as hit from inside a function of the host.
pub fn over(lua: &Lua, meter: &Meter, limit: Limit) -> mlua::Error {
    meter.hit(limit, place(lua));
    mlua::Error::runtime("a limit was hit")
}
