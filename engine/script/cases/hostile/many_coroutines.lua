--! expect: script::memory at 5
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
local kept = {}
for i = 1, 1e7 do kept[i] = coroutine.create(function() end) end
