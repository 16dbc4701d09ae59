--! expect: script::long-text at 6
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local s = ("a"):rep(60000)
s = s .. s .. s .. s
print(s:find("aaaaaaaab", 1, true))
