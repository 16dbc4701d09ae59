//! The Lua host: a fresh state for each run, with nothing in it but what an exercise may use.

use crate::desk::Desk;
use crate::hand::{Hand, Outcome};
use crate::handle::Handle;
use crate::limits::{self, Limit, Meter};
use crate::teller::Teller;
use crate::words::{On, WORDS, Word, finish_item};
use crate::{Input, failure, guard};
use base::{Diagnostic, Place};
use mlua::chunk::{ChunkMode, Compiler};
use mlua::{Function, Lua, LuaOptions, MultiValue, StdLib, Table, Value};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// The library that every pack may `require`.
pub const LIBRARY: &[(&str, &str)] = &[("lib.sequence", include_str!("../../../scripts/lib/sequence.lua"))];

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
struct Shared {
    desk: Rc<RefCell<Desk>>,
    methods: Table,
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
        lua.set_app_data(Shared { desk: desk.clone(), methods: methods.clone() });
        let stories = lua.create_table()?;
        let asks: Function = guarded.get("asks")?;
        for word in WORDS {
            let function = lua.create_function(move |lua, args: MultiValue| call(lua, word, args))?;
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
            unknown_method(lua, On::Run, &key);
            Ok(Handle::Marked)
        })?;
        close(&lua, &run, &unknown)?;

        let base = names.clone();
        let unknown = lua.create_function(|lua, (_, key): (Value, Value)| {
            unknown_name(lua, &key);
            Ok(Handle::Marked)
        })?;
        let meta = lua.create_table()?;
        meta.set("__index", unknown)?;
        base.set_metatable(Some(meta))?;
        let host = Host { run, enter: guarded.get("enter")?, environment: base, lua, desk, meter, stories };
        host.install_require(input)?;
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
        for (file, text) in input.sources.files() {
            match chunk(&self.lua, &self.environment, &file, &text) {
                Ok(_) => {
                    for d in crate::lint::check(&file, &text) {
                        self.desk.borrow_mut().tell(d);
                    }
                }
                Err(error) => {
                    self.tell_failure(&error);
                    readable = false;
                }
            }
        }
        if !readable || self.meter.is_hit() {
            return;
        }
        let result = chunk(&self.lua, &self.environment, file, text).and_then(|f| f.call::<()>(()));
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
        if !self.tell_limit() {
            let d = self.diagnose(error);
            self.desk.borrow_mut().told.push(d);
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

    /// Modules come from the pack and the embedded library, never from a disk, and each runs once.
    fn install_require(&self, input: &Input) -> mlua::Result<()> {
        let modules = input.sources.modules.clone();
        let environment = self.environment.clone();
        let loaded: Rc<RefCell<BTreeMap<String, Option<Value>>>> = Rc::default();
        let require = self.lua.create_function(move |lua, name: Value| {
            let Value::String(name) = &name else {
                return Err(mlua::Error::runtime("require needs the name of a module, such as \"lib.sequence\""));
            };
            let name = name.to_string_lossy().to_string();
            match loaded.borrow().get(&name) {
                Some(Some(value)) => return Ok(value.clone()),
                Some(None) => {
                    return Err(mlua::Error::runtime(format!("the module \"{name}\" requires itself")));
                }
                None => {}
            }
            let (file, text) = match modules.get(&name) {
                Some(text) => (name.clone(), text.as_str()),
                None => match LIBRARY.iter().find(|(n, _)| *n == name) {
                    Some((_, text)) => (format!("library {name}"), *text),
                    None => {
                        let place = place(lua);
                        let known = modules.keys().map(String::as_str).chain(LIBRARY.iter().map(|(n, _)| *n));
                        with_desk(lua, |desk| {
                            desk.unknown(
                                "script::unknown-module",
                                &place,
                                format!("there is no module \"{name}\" in the pack or the library"),
                                &name,
                                known,
                            );
                        });
                        return Ok(Value::UserData(lua.create_userdata(Handle::Marked)?));
                    }
                },
            };
            loaded.borrow_mut().insert(name.clone(), None);
            let value: Value = chunk(lua, &environment, &file, text)?.call(())?;
            let value = if value.is_nil() { Value::Boolean(true) } else { value };
            loaded.borrow_mut().insert(name, Some(value.clone()));
            Ok(value)
        })?;
        self.environment.set("require", require)
    }
}

/// A file as a function, in an environment of its own on top of the allowed names. Text only:
/// bytecode is refused.
fn chunk(lua: &Lua, base: &Table, file: &str, text: &str) -> mlua::Result<Function> {
    let environment = lua.create_table()?;
    let meta = lua.create_table()?;
    meta.set("__index", base)?;
    let names = base.clone();
    meta.set(
        "__newindex",
        lua.create_function(move |lua, (table, key, value): (Table, Value, Value)| {
            if names.raw_get::<Value>(key.clone())?.is_nil() {
                return table.raw_set(key, value);
            }
            let place = place(lua);
            let key = key.to_string().unwrap_or_default();
            with_desk(lua, |desk| {
                desk.wrong(
                    "script::overwrite",
                    &place,
                    format!("\"{key}\" is a word of the exercises and cannot be given another meaning"),
                    "choose another name, and write local before it",
                );
            });
            Ok(())
        })?,
    )?;
    environment.set_metatable(Some(meta))?;
    lua.load(text)
        .set_name(format!("={file}"))
        .set_mode(ChunkMode::Text)
        .set_compiler(Compiler::new().set_optimization_level(1).set_debug_level(1))
        .set_environment(environment)
        .into_function()
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

/// One call of a word.
fn call(lua: &Lua, word: &'static Word, args: MultiValue) -> mlua::Result<Value> {
    let place = place(lua);
    let mut args: Vec<Value> = args.into_iter().collect();
    let shared = shared(lua)?;
    let mut desk = shared.desk.borrow_mut();
    let this = match take_this(&mut desk, word, &place, &mut args) {
        Ok(this) => this,
        Err(()) => return Ok(Value::UserData(lua.create_userdata(Handle::Marked)?)),
    };
    if !word.many && args.len() > word.takes.len() && args[word.takes.len()..].iter().any(|a| !a.is_nil()) {
        desk.wrong(
            "script::argument",
            &place,
            format!("{} takes {} and was given more", word.name, word.takes.len()),
            &format!("write {}", word.example),
        );
    }
    let outcome = (word.act)(&mut Hand { desk: &mut desk, place, word, this, args });
    if desk.meter.is_hit() {
        return Err(mlua::Error::runtime("a limit was hit"));
    }
    drop(desk);
    match outcome {
        Outcome::Nothing => Ok(Value::Nil),
        Outcome::Handle(h) if word.on == On::Run => {
            debug_assert_eq!(h, Handle::Marked);
            Ok(Value::Boolean(false))
        }
        Outcome::Handle(h) => Ok(Value::UserData(lua.create_userdata(h)?)),
        Outcome::Begun(word, name, number) => begun(lua, word, name, number),
        Outcome::Ask => Ok(Value::Boolean(true)),
    }
}

/// What a method was called on. Told as a mistake when a full stop stands for the colon.
fn take_this(desk: &mut Desk, word: &'static Word, place: &Place, args: &mut Vec<Value>) -> Result<Option<Handle>, ()> {
    if word.on == On::Script {
        return Ok(None);
    }
    let first = if args.is_empty() { Value::Nil } else { args.remove(0) };
    let this = Handle::of(&first);
    let fits = match word.on {
        On::Script => true,
        On::Value => matches!(this, Some(Handle::Value(_) | Handle::Marked)),
        On::Condition => matches!(this, Some(Handle::Condition(_) | Handle::Marked)),
        On::Run => matches!(first, Value::Table(_)),
    };
    if fits && this == Some(Handle::Marked) {
        return Err(());
    }
    if fits {
        return Ok(this);
    }
    desk.wrong(
        "script::colon",
        place,
        format!("{} is called with a colon", word.name),
        &format!("write {}", word.example),
    );
    Err(())
}

/// The second half of `step "name" { … }`.
fn begun(lua: &Lua, word: &'static str, name: String, number: u32) -> mlua::Result<Value> {
    let function = lua.create_function(move |lua, fields: Value| {
        let now = place(lua);
        let shared = shared(lua)?;
        let mut desk = shared.desk.borrow_mut();
        let Some((_, _, place)) = desk.begun.remove(&number) else {
            let message = format!("{word} \"{name}\" was given a table twice");
            desk.wrong("script::repeated", &now, message, "write one table for each");
            return Ok(());
        };
        match &fields {
            Value::Table(table) => finish_item(&mut desk, word, &name, &place, table),
            other => {
                let message =
                    format!("{word} \"{name}\" needs a table in braces, and got {}", crate::hand::kind_of(other));
                desk.wrong("script::argument", &place, message, &format!("write {word} \"{name}\" {{ … }}"));
            }
        }
        if desk.meter.is_hit() {
            return Err(mlua::Error::runtime("a limit was hit"));
        }
        Ok(())
    })?;
    Ok(Value::Function(function))
}

/// A method of a condition or a value, looked up by its name.
pub fn method(lua: &Lua, handle: Handle, key: &Value) -> mlua::Result<Value> {
    let on = match handle {
        Handle::Condition(_) => On::Condition,
        Handle::Value(_) => On::Value,
        Handle::Marked => return Ok(Value::UserData(lua.create_userdata(Handle::Marked)?)),
    };
    let name = key.to_string().unwrap_or_default();
    let kind = if on == On::Value { "value" } else { "condition" };
    let found: Value = shared(lua)?.methods.get(format!("{kind} {name}"))?;
    if !found.is_nil() {
        return Ok(found);
    }
    unknown_method(lua, on, key);
    Ok(Value::UserData(lua.create_userdata(Handle::Marked)?))
}

fn unknown_method(lua: &Lua, on: On, key: &Value) {
    let name = key.to_string().unwrap_or_default();
    let place = place(lua);
    let what = match on {
        On::Run => "a run",
        On::Value => "a value",
        _ => "a condition",
    };
    let other = WORDS.iter().any(|w| w.on == On::Value && w.name == name) && on == On::Condition;
    with_desk(lua, |desk| {
        let message = format!("{what} has no method \"{name}\"");
        if other {
            let hint = "compare the value first, and say how long after that";
            desk.wrong("script::unknown-method", &place, message, hint);
        } else {
            let known = WORDS.iter().filter(|w| w.on == on).map(|w| w.name);
            desk.unknown("script::unknown-method", &place, message, &name, known);
        }
    });
}

/// Names of Lua that scripts might look for and that are not there on purpose.
const REFUSED: &[&str] = &[
    "io",
    "os",
    "debug",
    "package",
    "load",
    "loadstring",
    "loadfile",
    "dofile",
    "getfenv",
    "setfenv",
    "getmetatable",
    "setmetatable",
    "rawget",
    "rawset",
    "rawequal",
    "rawlen",
    "collectgarbage",
    "newproxy",
    "_G",
    "_VERSION",
    "next",
    "utf8",
    "bit32",
    "buffer",
    "vector",
    "unpack",
    "gcinfo",
];

fn unknown_name(lua: &Lua, key: &Value) {
    let name = key.to_string().unwrap_or_default();
    let place = place(lua);
    with_desk(lua, |desk| {
        if REFUSED.contains(&name.as_str()) {
            let hint = if name == "unpack" {
                "write table.unpack"
            } else if name == "next" {
                "write pairs, which has a fixed order"
            } else {
                "a script sees the exercise and its run, and nothing of the machine it runs on"
            };
            desk.wrong("script::not-available", &place, format!("\"{name}\" is not available to scripts"), hint);
            return;
        }
        let words = WORDS.iter().filter(|w| w.on == On::Script).map(|w| w.name);
        let plain =
            ["math", "string", "table", "pairs", "ipairs", "print", "require", "tostring", "tonumber", "parameters"];
        let message = format!("nothing is called \"{name}\" here");
        desk.unknown("script::unknown-name", &place, message, &name, words.chain(plain));
    });
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

fn shared(lua: &Lua) -> mlua::Result<Shared> {
    let shared = lua.app_data_ref::<Shared>().map(|s| s.clone());
    shared.ok_or_else(|| mlua::Error::runtime("the state has no desk"))
}

/// Marks a limit as hit from inside a function of the host.
pub fn over(lua: &Lua, meter: &Meter, limit: Limit) -> mlua::Error {
    meter.hit(limit, place(lua));
    mlua::Error::runtime("a limit was hit")
}
