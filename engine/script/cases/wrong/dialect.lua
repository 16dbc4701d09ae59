--! expect: script::dialect at 5
--! hint: x = x + 1
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
local x = 1
x += 1
step "a" { marks = x, done = lit("XL-3310") }
