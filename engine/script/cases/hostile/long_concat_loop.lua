--! expect: script::memory at 6
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local s = ("x"):rep(60000)
for i = 1, 5 do s = s .. s end
for i = 1, 1e9 do local t = s .. i end
