--! expect: script::recursion at 4
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local function f(n) return 1 + f(n + 1) end
f(1)
