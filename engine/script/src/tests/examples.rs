//! Every example of the reference does what it shows.

use super::{run, with_heading};
use crate::words::{On, WORDS};

#[test]
fn every_example_of_the_reference_is_read() {
    let around = "fault \"lamp\" { on = \"XL-2104\", kind = \"dark\" }\n\
                  fault \"feed\" { on = \"FCV-3102\", kind = \"seized\" }\n\
                  fault \"leak\" { on = \"FCV-3102\", kind = \"passing\", size = \"5 % of rated\" }\n\
                  step \"purge\" { marks = 1, done = lit(\"BL-2001\") }\n\
                      step \"burning\" { marks = 1, done = lit(\"BL-2001\"), after = \"purge\" }\n";
    for word in WORDS {
        let text = match (word.on, word.name) {
            (_, "exercise") => word.example.replace("training-vessel", "demo"),
            (On::Run, _) => with_heading(&format!("{around}story(function(run) {} end)", word.example)),
            (_, "fault" | "variant") => with_heading(word.example),
            (_, "step" | "limit" | "response" | "order" | "steadiness" | "finding" | "group" | "story") => {
                with_heading(&format!("{around}{}", word.example))
            }
            _ => with_heading(&format!("{around}local example = {}", word.example)),
        };
        if let Err(told) = run(&text) {
            panic!("{}: {}", word.name, told[0]);
        }
    }
}
