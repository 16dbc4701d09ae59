--! expect: script::long-sort at 6
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local t = {}
for i = 1, 5000 do t[i] = -i end
table.sort(t, function(a, b) return a < b end)
