--! expect: script::memory at 5
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local s = "x"
while true do s = s .. s end
