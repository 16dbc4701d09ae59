--! expect: script::lua at 6
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local t = {}
for i = 1, 4000 do t[i] = i % 7 end
table.sort(t, function(a, b) return true end)
