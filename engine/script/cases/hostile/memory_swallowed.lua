--! expect: script::memory at 5
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local t = {}
pcall(function() for i = 1, 1e9 do t[i] = { i } end end)
