--! expect: script::recursion at 4
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local function f() pcall(f) pcall(f) end
f()
