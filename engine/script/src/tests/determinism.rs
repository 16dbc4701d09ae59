//! Two states of the same input say the same.

use super::{run, vessel, with_heading};
use crate::{Input, Sources, author};

#[test]
fn random_numbers_order_and_texts_repeat() {
    let body = "
        local t = { b = 1, a = 2, [3] = 'x', [1.5] = 'y', [true] = 'z' }
        for k, v in pairs(t) do print(k, v) end
        for i = 1, 5 do print(math.random(), math.random(6), math.random(10, 20)) end
        print({}, print, lit('XL-3310'), string.format('%s', {}))
        print(math.exp(1), math.sin(2), math.pow(2, 0.3))";
    let lines = |seed| {
        let sources = Sources::one("test.lua", &with_heading(body));
        let input = Input { seed, ..Input::new(sources, vessel::names()) };
        author(&input).unwrap().log.lines
    };
    assert_eq!(lines(7), lines(7));
    assert_ne!(lines(7), lines(8));
    let said: Vec<String> = lines(7).into_iter().map(|l| l.1).collect();
    assert_eq!(said[..5], ["1.5 y", "3 x", "a 2", "b 1", "true z"]);
    assert_eq!(said[10], "table function lamp XL-3310 (main flame) lit table");
}

#[test]
fn an_exercise_repeats_to_the_letter() {
    let text = include_str!("../../cases/good/whole.lua");
    let (a, b) = (run(text).unwrap(), run(text).unwrap());
    assert_eq!(a.exercise, b.exercise);
    assert_eq!(a.sheet, b.sheet);
    assert_eq!(a.conditions, b.conditions);
}
