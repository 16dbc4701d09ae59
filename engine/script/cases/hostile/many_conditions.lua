--! expect: script::conditions at 4
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
for i = 1, 1e6 do lit("XL-3310") end
