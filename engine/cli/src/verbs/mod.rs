//! One file a verb.

pub(crate) mod check;
pub(crate) mod compare;
pub(crate) mod drive;
pub(crate) mod faults;
pub(crate) mod grade;
pub(crate) mod new;
pub(crate) mod plant;
