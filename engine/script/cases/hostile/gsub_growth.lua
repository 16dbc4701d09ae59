--! expect: script::memory at 5
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local s = ("x"):rep(60000)
s = s:gsub("x", s):gsub("x", "y")
