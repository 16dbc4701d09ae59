--! expect: script::unknown-lamp at 4
--! expect: script::lua at 6
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
step "a" { marks = 1, done = lit("XL-1") }
local t = nil
print(t.x)
step "never reached" { marks = 1, done = lit("XL-3310") }
