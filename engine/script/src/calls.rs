//! What happens when a script uses a word, a method, or a name that does not exist.

use crate::desk::Desk;
use crate::hand::{Hand, Outcome, kind_of};
use crate::handle::Handle;
use crate::host::{place, shared, with_desk};
use crate::words::{On, WORDS, Word, finish_item};
use base::{Diagnostic, Place};
use mlua::{Lua, MultiValue, Value};

/// One call of a word.
pub fn call(lua: &Lua, word: &'static Word, args: MultiValue) -> mlua::Result<Value> {
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
        Outcome::Given(value) => Ok(value),
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
                let message = format!("{word} \"{name}\" needs a table in braces, and got {}", kind_of(other));
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

/// Tells a method that does not exist.
pub fn unknown_method(lua: &Lua, on: On, key: &Value) {
    let name = key.to_string().unwrap_or_default();
    let place = place(lua);
    with_desk(lua, |desk| desk.tell(no_such_method(on, &name, place)));
}

/// What people ask of a run by other words, and how it is written.
const SAID_OF_A_RUN: &[(&[&str], &str)] = &[
    (&["say", "speak", "message", "announce", "print", "show"], "write run:tell(\"…\") to speak to the trainee"),
    (&["repair", "mend", "fix", "remove"], "write run:clear(\"…\") with the name of a fault"),
    (&["start", "fault", "fail", "trigger"], "write run:inject(\"…\") with the name of a fault"),
    (&["stop", "finished", "exit", "quit"], "write run:finish(\"…\") with the reason"),
    (&["sleep", "delay", "pause"], "write run:wait(\"5 min\")"),
    (&["operate", "put", "set", "open", "shut", "trip"], "a story cannot work a control; it can inject a fault"),
    (&["done", "step"], "write run:has(done(\"…\")), or wait for it with run:wait_until(done(\"…\"))"),
    (&["did"], "write run:has(did(…))"),
];

/// What is said of a method that does not exist.
pub fn no_such_method(on: On, name: &str, place: Place) -> Diagnostic {
    let what = match on {
        On::Run => "a run",
        On::Value => "a value",
        _ => "a condition",
    };
    let d = Diagnostic::error("script::unknown-method", place, format!("{what} has no method \"{name}\""));
    if let Some((_, hint)) = SAID_OF_A_RUN.iter().find(|(names, _)| on == On::Run && names.contains(&name)) {
        return d.hint(*hint);
    }
    if on == On::Condition && WORDS.iter().any(|w| w.on == On::Value && w.name == name) {
        return d.hint("compare the value first, and say how long after that");
    }
    if on == On::Value && WORDS.iter().any(|w| w.on == On::Condition && w.name == name) {
        return d.hint("say first what the value should be, such as :above(…), and this behind it");
    }
    d.nearest(name, WORDS.iter().filter(|w| w.on == on).map(|w| w.name))
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

/// Tells a name that does not exist.
pub fn unknown_name(lua: &Lua, key: &Value) {
    let name = key.to_string().unwrap_or_default();
    let place = place(lua);
    with_desk(lua, |desk| desk.tell(no_such_name(&name, place)));
}

/// What is said of a name that does not exist.
pub fn no_such_name(name: &str, place: Place) -> Diagnostic {
    if REFUSED.contains(&name) {
        let hint = match name {
            "unpack" => "write table.unpack",
            "next" => "write pairs, which has a fixed order",
            _ => "a script sees the exercise and its run, and nothing of the machine it runs on",
        };
        let message = format!("\"{name}\" is not available to scripts");
        return Diagnostic::error("script::not-available", place, message).hint(hint);
    }
    let words = WORDS.iter().filter(|w| w.on == On::Script).map(|w| w.name);
    let plain =
        ["math", "string", "table", "pairs", "ipairs", "print", "require", "tostring", "tonumber", "parameters"];
    let message = format!("nothing is called \"{name}\" here");
    Diagnostic::error("script::unknown-name", place, message).nearest(name, words.chain(plain))
}
