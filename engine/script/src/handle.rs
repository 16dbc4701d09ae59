//! What a script holds in its hands: small numbers that stand for conditions and values. They carry
//! no Lua value inside, so that nothing can keep a state alive.

use crate::condition::{ConditionId, ValueId};
use crate::{calls, host};
use mlua::{AnyUserData, Lua, MetaMethod, UserData, UserDataMethods, Value};

/// A condition, a value, or what stands for a mistake that was told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Handle {
    /// A condition.
    Condition(ConditionId),
    /// A value.
    Value(ValueId),
    /// What an unknown name becomes: it takes part in everything and says nothing more.
    Marked,
}

impl Handle {
    /// The handle in a Lua value, if it is one.
    #[must_use]
    pub fn of(value: &Value) -> Option<Handle> {
        match value {
            Value::UserData(data) => data.borrow::<Handle>().ok().map(|h| *h),
            _ => None,
        }
    }
}

/// How Lua's own operators read, and what to write in their place.
const OPERATORS: &[(MetaMethod, &str, &str)] = &[
    (MetaMethod::Lt, "< or >", ":below(…) or :above(…)"),
    (MetaMethod::Le, "<= or >=", ":at_most(…) or :at_least(…)"),
    (MetaMethod::Concat, "..", "a text only between texts; tostring(…) tells a condition in words"),
    (MetaMethod::Add, "+", "any(…) or all(…) to join conditions"),
    (MetaMethod::Sub, "-", ":above, :below or :within to compare values"),
    (MetaMethod::Mul, "*", "any(…) or all(…) to join conditions"),
    (MetaMethod::Div, "/", "any(…) or all(…) to join conditions"),
    (MetaMethod::Mod, "%", "any(…) or all(…) to join conditions"),
    (MetaMethod::Pow, "^", "any(…) or all(…) to join conditions"),
    (MetaMethod::Unm, "-", "not_(…) for the opposite"),
    (MetaMethod::Len, "#", "a list for it"),
];

impl UserData for Handle {
    fn add_methods<M: UserDataMethods<Self>>(methods: &mut M) {
        methods.add_meta_function(MetaMethod::Index, |lua, (this, key): (AnyUserData, Value)| {
            let handle = *this.borrow::<Handle>()?;
            calls::method(lua, handle, &key)
        });
        methods.add_meta_function(MetaMethod::ToString, |lua, this: AnyUserData| {
            let handle = *this.borrow::<Handle>()?;
            Ok(host::tell_handle(lua, handle))
        });
        methods.add_meta_function(MetaMethod::Call, |lua, args: mlua::MultiValue| {
            operator(lua, &args, "(…)", "a method behind it, such as :above(\"4 barg\") or :lasting(\"30 s\")");
            Ok(Handle::Marked)
        });
        methods.add_meta_function(MetaMethod::NewIndex, |lua, args: mlua::MultiValue| {
            operator(lua, &args, "=", "conditions as they are; they cannot be changed");
            Ok(())
        });
        methods.add_meta_function(MetaMethod::Eq, |lua, args: mlua::MultiValue| {
            operator(lua, &args, "== or ~=", ":is(\"open\"), :within(…) or set_to(…)");
            Ok(false)
        });
        for (method, sign, instead) in OPERATORS {
            let truth = matches!(method, MetaMethod::Lt | MetaMethod::Le);
            methods.add_meta_function(*method, move |lua, args: mlua::MultiValue| {
                operator(lua, &args, sign, instead);
                Ok(if truth { Value::Boolean(false) } else { Value::UserData(lua.create_userdata(Handle::Marked)?) })
            });
        }
    }
}

/// Tells that one of Lua's operators was used on a condition, which would silently mean something else.
fn operator(lua: &Lua, args: &mlua::MultiValue, sign: &str, instead: &str) {
    if args.iter().any(|a| Handle::of(a) == Some(Handle::Marked)) {
        return;
    }
    let place = host::place(lua);
    host::with_desk(lua, |desk| {
        desk.wrong(
            "script::operator",
            &place,
            format!("Lua's {sign} does not work on conditions and values"),
            &format!("write {instead}"),
        );
    });
}
