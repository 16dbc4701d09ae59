--! expect: script::unit at 10
--! hint: write barg for gauge pressure
--! expect: script::unit at 11
--! expect: script::no-unit at 12
--! expect: script::unit at 13
--! expect: script::size at 14
--! expect: script::range at 15
--! expect: script::unit at 16
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
step "a" { marks = 1, done = shown("PT-3001"):above("4 bar") }
step "b" { marks = 1, done = setting("FCV-3102"):above("40 %") }
step "c" { marks = 1, done = shown("PT-3001"):above(4) }
step "d" { marks = 1, done = shown("PT-3001"):within("1 barg", "4 barg") }
fault "e" { on = "FCV-3102", kind = "passing", at = "1 s" }
fault "f" { on = "FCV-3102", kind = "seized", size = "140 % open", at = "1 s" }
step "g" { marks = 1, done = lit("XL-3310"):lasting("30 mn") }
