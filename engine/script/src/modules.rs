//! The files of a script as functions, and `require`.

use crate::Input;
use crate::handle::Handle;
use crate::host::{Shared, place, with_desk};
use mlua::chunk::{ChunkMode, Compiler};
use mlua::{Function, Lua, Table, Value};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

/// The library that every pack may `require`.
pub const LIBRARY: &[(&str, &str)] = &[
    ("lib.dark_lamp", include_str!("../../../scripts/lib/dark_lamp.lua")),
    ("lib.prompts", include_str!("../../../scripts/lib/prompts.lua")),
    ("lib.sequence", include_str!("../../../scripts/lib/sequence.lua")),
];

/// Modules come from the pack and the embedded library, never from a disk, and each runs once.
pub fn install_require(lua: &Lua, environment: &Table, input: &Input) -> mlua::Result<()> {
    let modules = input.sources.modules.clone();
    let base = environment.clone();
    let loaded: Rc<RefCell<BTreeMap<String, Option<Value>>>> = Rc::default();
    let require = lua.create_function(move |lua, name: Value| {
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
        let value: Value = chunk(lua, &base, &file, text)?.call(())?;
        let value = if value.is_nil() { Value::Boolean(true) } else { value };
        loaded.borrow_mut().insert(name, Some(value.clone()));
        Ok(value)
    })?;
    environment.set("require", require)
}

/// A file as a function, in an environment of its own on top of the allowed names. Text only:
/// bytecode is refused.
pub fn chunk(lua: &Lua, base: &Table, file: &str, text: &str) -> mlua::Result<Function> {
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
    let counted = lua.app_data_ref::<Shared>().is_some_and(|s| s.counted);
    lua.load(text)
        .set_name(format!("={file}"))
        .set_mode(ChunkMode::Text)
        .set_compiler(
            Compiler::new().set_optimization_level(1).set_debug_level(1).set_coverage_level(u8::from(counted)),
        )
        .set_environment(environment)
        .into_function()
}
