//! A crash of one run is one line of the report, never the end of the batch.

use std::cell::{Cell, RefCell};
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

thread_local! {
    static INSIDE: Cell<bool> = const { Cell::new(false) };
    static SAID: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Runs `work`; a panic in it is caught and told with its place in the program, and nothing of it is
/// printed. Whatever `work` had in its hands must be thrown away then, which is so when it owns it.
///
/// # Errors
/// What the panic said and where.
pub(crate) fn guarded<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |info| {
            if !INSIDE.get() {
                return before(info);
            }
            let payload = info.payload();
            let said = payload
                .downcast_ref::<&str>()
                .map(ToString::to_string)
                .or_else(|| payload.downcast_ref::<String>().cloned())
                .unwrap_or_else(|| "it did not say why".to_owned());
            let place = info.location().map(|l| format!(" ({}:{})", l.file(), l.line())).unwrap_or_default();
            SAID.set(Some(format!("{said}{place}")));
        }));
    });
    let outer = INSIDE.replace(true);
    let result = panic::catch_unwind(AssertUnwindSafe(work));
    INSIDE.set(outer);
    result.map_err(|_| SAID.take().unwrap_or_else(|| "it did not say why".to_owned()))
}

#[cfg(test)]
mod tests {
    use super::guarded;

    #[test]
    fn a_panic_is_told_with_its_place_and_the_next_run_goes_on() {
        let told = guarded(|| -> u8 { panic!("the drum ran {}", "dry") }).unwrap_err();
        assert!(told.starts_with("the drum ran dry (") && told.contains("guard.rs:"), "{told}");
        assert_eq!(guarded(|| 7), Ok(7));
    }
}
