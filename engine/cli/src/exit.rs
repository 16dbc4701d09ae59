//! Exit codes: one type for all verbs, told in the help.

use std::process::ExitCode;

/// How the program ends. Part of what other programs may rely on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Exit {
    /// Everything was done; every log was graded.
    Good,
    /// The command line or the pack cannot be used.
    Usage,
    /// The work was done, and some logs could not be graded; or a run that was driven broke off.
    SomeNotGraded,
    /// The machine failed: a full disk, a permission.
    Machine,
    /// It was interrupted; what was finished by then is kept.
    Interrupted,
}

/// The exit codes, for the help.
pub(crate) const HELP: &str = "Exit codes: 0 all done (every log graded), 1 the command line or the pack cannot be used, \
2 some logs were not graded, or the run that was driven broke off, 3 the machine failed (disk, permission), 130 interrupted with what was finished kept";

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(match exit {
            Exit::Good => 0,
            Exit::Usage => 1,
            Exit::SomeNotGraded => 2,
            Exit::Machine => 3,
            Exit::Interrupted => 130,
        })
    }
}
