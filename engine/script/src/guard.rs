//! The functions behind `scripts/lib/guard.lua`: they count work, cap sizes, and replace what would
//! differ from run to run.

use crate::host::{over, place, with_desk};
use crate::limits::{self, Limit, Meter};
use base::maths;
use base::random::Stream;
use mlua::chunk::ChunkMode;
use mlua::{Lua, LuaString, Table, Value, VmState};
use std::cell::RefCell;
use std::rc::Rc;

const GUARD: &str = include_str!("../../../scripts/lib/guard.lua");

/// Runs the guard in a fresh state; gives what it returns.
///
/// # Errors
/// When the guard itself is faulty.
pub fn install(lua: &Lua, meter: &Rc<Meter>, seed: u64) -> mlua::Result<Table> {
    let host = lua.create_table()?;
    let m = meter.clone();
    host.set("charge", lua.create_function(move |lua, work: f64| pay(lua, &m, work))?)?;
    let m = meter.clone();
    host.set(
        "size",
        lua.create_function(move |lua, bytes: f64| {
            if bytes > limits::TEXT as f64 {
                return Err(over(lua, &m, Limit::Text));
            }
            pay(lua, &m, bytes / 256.0)
        })?,
    )?;
    let m = meter.clone();
    host.set(
        "sortable",
        lua.create_function(move |lua, n: f64| {
            if n > limits::SORT as f64 {
                return Err(over(lua, &m, Limit::Sort));
            }
            pay(lua, &m, n)
        })?,
    )?;
    let m = meter.clone();
    host.set("swallowed", lua.create_function(move |lua, e: Value| swallowed(lua, &m, &e))?)?;
    host.set(
        "print",
        lua.create_function(|lua, line: LuaString| {
            let place = place(lua);
            with_desk(lua, |desk| desk.log.add(place, &line.to_string_lossy()));
            Ok(())
        })?,
    )?;
    host.set(
        "find",
        lua.create_function(|_, (s, what, from): (LuaString, LuaString, f64)| {
            Ok(plain_find(&s.as_bytes(), &what.as_bytes(), from))
        })?,
    )?;
    numbers(lua, &host, seed)?;
    lua.load(GUARD).set_name("=guard").set_mode(ChunkMode::Text).call(host)
}

/// Transcendental functions and random numbers, the same on every machine.
fn numbers(lua: &Lua, host: &Table, seed: u64) -> mlua::Result<()> {
    type Plain = (&'static str, fn(f64) -> f64);
    const PLAIN: &[Plain] = &[
        ("exp", maths::exp),
        ("log10", maths::log10),
        ("sin", maths::sin),
        ("cos", maths::cos),
        ("tan", maths::tan),
        ("asin", maths::asin),
        ("acos", maths::acos),
    ];
    for (name, f) in PLAIN {
        host.set(*name, lua.create_function(move |_, x: f64| Ok(f(x)))?)?;
    }
    host.set("pow", lua.create_function(|_, (x, y): (f64, f64)| Ok(maths::pow(x, y)))?)?;
    host.set(
        "log",
        lua.create_function(|_, (x, b): (f64, Option<f64>)| {
            Ok(match b {
                Some(b) => maths::ln(x) / maths::ln(b),
                None => maths::ln(x),
            })
        })?,
    )?;
    host.set("atan", lua.create_function(|_, (y, x): (f64, Option<f64>)| Ok(maths::atan2(y, x.unwrap_or(1.0))))?)?;
    let stream = RefCell::new(Stream::new(seed, "script"));
    host.set(
        "random",
        lua.create_function(move |_, (a, b): (Option<f64>, Option<f64>)| {
            let mut stream = stream.borrow_mut();
            let (low, high) = match (a, b) {
                (None, _) => return Ok(stream.unit()),
                (Some(high), None) => (1.0, high),
                (Some(low), Some(high)) => (low, high),
            };
            let whole = |x: f64| x.fract() == 0.0 && x.abs() < 1e15;
            if !whole(low) || !whole(high) || low > high {
                return Err(mlua::Error::runtime("math.random needs whole numbers, the lower one first"));
            }
            Ok(low + stream.below((high - low) as u64 + 1) as f64)
        })?,
    )
}

/// Charges work from inside a function of the host.
fn pay(lua: &Lua, meter: &Meter, work: f64) -> mlua::Result<()> {
    if meter.charge(work.max(0.0) as u64) {
        return Err(over(lua, meter, meter.spent()));
    }
    Ok(())
}

/// Whether an error that the script caught was a limit in disguise; then it goes on being thrown.
fn swallowed(lua: &Lua, meter: &Meter, error: &Value) -> mlua::Result<()> {
    let text = match error {
        Value::String(s) => s.to_string_lossy().to_string(),
        Value::Error(e) => e.to_string(),
        _ => String::new(),
    };
    if let Some(limit) = limit_in(&text) {
        return Err(over(lua, meter, limit));
    }
    if meter.is_hit() {
        return Err(mlua::Error::runtime("a limit was hit"));
    }
    Ok(())
}

/// The limit of the virtual machine that an error message speaks of.
#[must_use]
pub fn limit_in(message: &str) -> Option<Limit> {
    if message.contains("not enough memory") {
        Some(Limit::Memory)
    } else if message.contains("stack overflow") || message.contains("C stack") {
        Some(Limit::Recursion)
    } else {
        None
    }
}

/// Counts every call and every round of a loop, and stops the script at its limits.
pub fn interrupt(lua: &Lua, meter: &Rc<Meter>) {
    let meter = meter.clone();
    lua.set_interrupt(move |lua| {
        let (spent, holds_much) = meter.step(lua.used_memory());
        if holds_much {
            meter.keep_place(place(lua));
        }
        let stopped = meter.asked_to_stop();
        if !spent && !stopped {
            return Ok(VmState::Continue);
        }
        if meter.is_hit() {
            return Err(mlua::Error::runtime("a limit was hit"));
        }
        let limit = if stopped { Limit::Stopped } else { meter.spent() };
        Err(over(lua, &meter, limit))
    });
}

/// Finds a text in another in linear time (Knuth, Morris and Pratt 1977). Places count from 1.
fn plain_find(text: &[u8], what: &[u8], from: f64) -> (Option<f64>, Option<f64>) {
    let length = text.len() as f64;
    let from = if from < 0.0 { (length + from + 1.0).max(1.0) } else { from.max(1.0) };
    if from.is_nan() || from > length + 1.0 {
        return (None, None);
    }
    let start = from as usize - 1;
    if what.is_empty() {
        return (Some(from.floor()), Some(from.floor() - 1.0));
    }
    let mut back = vec![0_usize; what.len()];
    let mut k = 0;
    for i in 1..what.len() {
        while k > 0 && what[i] != what[k] {
            k = back[k - 1];
        }
        if what[i] == what[k] {
            k += 1;
        }
        back[i] = k;
    }
    k = 0;
    for (i, b) in text.iter().enumerate().skip(start) {
        while k > 0 && *b != what[k] {
            k = back[k - 1];
        }
        if *b == what[k] {
            k += 1;
        }
        if k == what.len() {
            return (Some((i + 2 - k) as f64), Some((i + 1) as f64));
        }
    }
    (None, None)
}

#[cfg(test)]
mod tests {
    use super::plain_find;

    #[test]
    fn a_text_is_found_where_it_is() {
        let find = |s: &str, w: &str, from: f64| plain_find(s.as_bytes(), w.as_bytes(), from);
        assert_eq!(find("abcabc", "bc", 1.0), (Some(2.0), Some(3.0)));
        assert_eq!(find("abcabc", "bc", 3.0), (Some(5.0), Some(6.0)));
        assert_eq!(find("abcabc", "bc", -2.0), (Some(5.0), Some(6.0)));
        assert_eq!(find("aaab", "aab", 1.0), (Some(2.0), Some(4.0)));
        assert_eq!(find("abc", "x", 1.0), (None, None));
        assert_eq!(find("abc", "", 4.0), (Some(4.0), Some(3.0)));
        assert_eq!(find("abc", "", 5.0), (None, None));
    }
}
