--! expect: script::conditions at 5
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local c = lit("XL-3310")
for i = 1, 60 do c = all(c, c) end
