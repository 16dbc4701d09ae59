--! expect: script::fuel at 5
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local s = ("a"):rep(30000)
print(s:find(("a*"):rep(30) .. "b"))
