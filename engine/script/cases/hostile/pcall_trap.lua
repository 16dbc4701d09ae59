--! expect: script::fuel at 4
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
LEFT_BEHIND = 1
while true do pcall(function() while true do end end) end
