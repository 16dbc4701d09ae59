--! expect: script::unit at 15
--! expect: script::unit at 16
--! expect: script::no-total at 17
--! expect: script::no-rate at 18
--! expect: script::moment at 19
--! expect: script::time at 20
--! expect: script::no-unit at 21
--! expect: script::state at 22
--! expect: script::no-comparison at 23
--! expect: script::field at 24
--! hint: units of rate of temperature: K/min
--! hint: flows and powers have a total

exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
step "a" { marks = 1, done = actual("TT-3207"):rate("1 min"):below("5 K") }
step "b" { marks = 1, done = actual("FT-3301"):total():above("5 kg/s") }
step "c" { marks = 1, done = actual("PT-3001"):total():above("5 barg") }
step "d" { marks = 1, done = actual("TT-3207"):rate("1 min"):rate("1 min"):below("5 K/min") }
step "e" { marks = 1, done = did("lamp test"):in_all():above("5 s") }
step "f" { marks = 1, done = actual("PT-3001"):mean("0 s"):above("5 barg") }
step "g" { marks = 1, done = lit("XL-3310"):longest():above(5) }
step "h" { marks = 1, done = actual("NV-1"):mean("5 min"):above("5 barg") }
step "i" { marks = 1, done = actual("PT-3001"):mean("5 min") }
steadiness "j" { marks = 1, value = actual("PT-3001"):mean(), around = "5 barg", full_within = "1 bar difference", none_beyond = "2 bar difference" }
