-- Every unknown name is told at once.
--! expect: script::unknown-start at 15
--! expect: script::unknown-target at 16
--! hint: did you mean "XL-2104"?
--! expect: script::unknown-kind at 17
--! expect: script::unknown-point at 18
--! expect: script::unknown-lamp at 19
--! expect: script::unknown-action at 20
--! expect: script::unknown-name at 21
--! hint: did you mean "limit"?
--! expect: script::unknown-method at 22
--! hint: did you mean "lasting"?
--! expect: script::unknown-fault at 23
--! expect: script::unknown-word at 24
exercise { title = "T", plant = "demo", start = "hot", lasts = "10 min" }
fault "a" { on = "XL-2140", kind = "dark", at = "1 s" }
fault "b" { on = "XL-2104", kind = "drak", at = "1 s" }
step "c" { marks = 1, done = shown("PT-301"):above("4 barg") }
step "d" { marks = 1, done = lit("XL-33100") }
step "e" { marks = 1, done = did("P-310", "start") }
limt "f" { marks = 1 }
step "g" { marks = 1, done = lit("XL-3310"):lastng("3 s") }
response "h" { to = "aa", marks = 1, by = did("lamp test"), full = "1 s", none = "2 s" }
step "i" { marks = 1, done = did("P-3101", "strt") }
