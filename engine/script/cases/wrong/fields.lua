--! expect: script::unknown-field at 17
--! hint: did you mean "marks"?
--! expect: script::missing-field at 16
--! expect: script::marks at 20
--! expect: script::missing-field at 21
--! expect: script::field at 22
--! expect: script::repeated at 23
--! expect: script::unknown-step at 24
--! expect: script::circular at 25
--! expect: script::no-comparison at 27
--! expect: script::looks-ahead at 28
--! expect: script::moment at 29
--! expect: script::no-table at 30
--! expect: script::no-name at 31
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
step "a" {
  mraks = 2,
  done = lit("XL-3310"),
}
step "b" { marks = 1.234, done = lit("XL-3310") }
step "c" { marks = 1 }
step "d" { marks = 1, done = lit("XL-3310"), critical = "yes" }
step "d" { marks = 1, done = lit("XL-3310") }
step "e" { marks = 1, done = lit("XL-3310"), after = "nothing like it" }
step "f" { marks = 1, done = lit("XL-3310"), after = "g" }
step "g" { marks = 1, done = lit("XL-3310"), after = "f" }
step "h" { marks = 1, done = shown("PT-3001") }
fault "i" { on = "XL-2104", kind = "dark", when = lit("XL-3310"):answered_within("5 s", lit("XL-2104")) }
limit "j" { marks = 1, keep = did("lamp test") }
step "k"
step { marks = 1 }
