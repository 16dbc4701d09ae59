--! expect: script::memory at 7
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local s = ("x"):rep(60000)
for i = 1, 4 do s = s .. s end
local a, b = s .. "a", s .. "b"
for i = 1, 1e9 do local smaller = a < b end
