--! expect: script::long-text at 4
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local s = ("x"):rep(1e9)
