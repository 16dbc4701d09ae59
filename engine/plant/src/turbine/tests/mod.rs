mod bench;
mod checks;
mod energy;
mod running;
mod trips;

use bench::{Bench, DT};
