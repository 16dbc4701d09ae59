--! expect: script::lua at 5
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local nan = 0 / 0
print(math.random(nan))
