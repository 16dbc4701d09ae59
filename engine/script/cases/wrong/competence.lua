--! expect: script::competence at 8
--! hint: did you mean "A-III/1: Maintain a safe engineering watch"?
--! expect: script::competence at 13
--! expect: script::field at 16
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
step "a" {
  marks = 1, done = lit("XL-3310"),
  competence = "A-III/1: Maintain safe engineering watch",
}
step "b" {
  marks = 1, done = lit("XL-3310"),
  -- The same one twice.
  competence = { "A-III/1: Use internal communication systems", "A-III/1: Use internal communication systems" },
}
step "c" { marks = 1, done = lit("XL-3310"), competence = "A-III/1: Use internal communication systems" }
step "d" { marks = 1, done = lit("XL-3310"), competence = 3 }
